# Writes statistics.json: data sets and what R makes of them. Run: Rscript tests/reference/statistics.R
# Made with R 4.2.2, nlme 3.1-162, lme4 1.1-31 (Debian 12). The tests read the numbers; they need no R.
suppressMessages({ library(nlme); library(lme4) })
options(digits = 15)
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)))

num <- function(x) paste0("[", paste(ifelse(is.na(x), "null", format(x, digits = 15, trim = TRUE)), collapse = ","), "]")
txt <- function(x) paste0("[", paste0('"', x, '"', collapse = ","), "]")
obj <- function(...) { a <- list(...); paste0("{", paste0('"', names(a), '":', unlist(a), collapse = ","), "}") }
# Tighter than the packages' defaults, so that more digits agree.
tight <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhobeg = 0.2, rhoend = 1e-12, maxfun = 1e6))
fit_of <- function(m, rows = TRUE) {
  v <- as.data.frame(VarCorr(m))
  obj(beta = num(fixef(m)), se = num(sqrt(diag(as.matrix(vcov(m))))), sd = num(v$sdcor), criterion = num(REMLcrit(m)))
}

data(Orthodont, package = "nlme")
o <- as.data.frame(Orthodont)
s <- sleepstudy
orthodont <- obj(
  subject = txt(o$Subject), age = num(o$age), distance = num(o$distance),
  intercept = fit_of(lmer(distance ~ age + (1 | Subject), o, control = tight)),
  slope = fit_of(lmer(distance ~ age + (age | Subject), o, control = tight)))
sleep <- obj(
  subject = txt(s$Subject), days = num(s$Days), reaction = num(s$Reaction),
  intercept = fit_of(lmer(Reaction ~ Days + (1 | Subject), s, control = tight)),
  slope = fit_of(lmer(Reaction ~ Days + (Days | Subject), s, control = tight)))

# 8 skaters x 2 techniques x 3 trials; invented (references: nested design).
A <- c(4.41,4.44,4.39, 4.62,4.58,4.60, 4.25,4.28,4.24, 4.80,4.86,4.79, 4.51,4.47,4.50, 4.37,4.40,4.41, 4.69,4.66,4.72, 4.55,4.52,4.56)
B <- c(4.36,4.33,4.37, 4.60,4.61,4.56, 4.17,4.20,4.18, 4.81,4.77,4.80, 4.41,4.44,4.43, 4.38,4.35,4.36, 4.58,4.62,4.60, 4.53,4.55,4.50)
nested <- data.frame(skater = factor(rep(paste0("S", 1:8), 2, each = 3)), tech = factor(rep(c("a", "b"), each = 24)),
  time = c(A, B), place = c(rep(c(1, 4, 5), 8), rep(c(2, 3, 6), 8)))
# The same with holes: fewer repeats here and there, one skater without b, one without a.
holed <- nested[-c(3, 8, 9, 15, 24, 28, 34, 40:42, 4:6), ]
model <- function(d, extra = "") {
  f <- as.formula(paste("time ~ tech", extra))
  m <- lmer(update(f, . ~ . + (1 | skater) + (1 | skater:tech)), d, control = tight)
  n <- lme(f, d, random = ~ 1 | skater/tech)
  v <- as.data.frame(VarCorr(m))
  pick <- function(g) v$sdcor[v$grp == g]
  obj(skater = txt(d$skater), tech = txt(d$tech), time = num(d$time), place = num(d$place),
    difference = num(fixef(m)[2]), se = num(sqrt(vcov(m)[2, 2])), df = num(summary(n)$tTable[2, "DF"]),
    nlmeDifference = num(fixef(n)[2]), nlmeSe = num(summary(n)$tTable[2, "Std.Error"]),
    nlmeLogLik = num(logLik(n)),
    sdSkater = num(pick("skater")), sdSkaterByTechnique = num(pick("skater:tech")), sdTrial = num(pick("Residual")),
    criterion = num(REMLcrit(m)))
}

# Overall test of 4 columns x 6 rows (Shrout & Fleiss 1979, Table 2) with Greenhouse-Geisser.
sf <- matrix(c(9,2,5,8, 6,1,3,2, 8,4,6,8, 7,1,2,6, 10,5,6,9, 6,2,4,7), ncol = 4, byrow = TRUE)
g <- anova(lm(sf ~ 1), X = ~1, test = "Spherical")
eps <- as.numeric(sub(".*epsilon: *", "", grep("Greenhouse", attr(g, "heading"), value = TRUE)))
# The heading rounds; the definition gives all digits.
H <- diag(4) - 1/4; D <- H %*% cov(sf) %*% H
epsilon <- sum(diag(D))^2 / (3 * sum(D^2))
stopifnot(abs(eps - epsilon) < 1e-3)
overall <- obj(f = num(g$F[1]), p = num(g$`Pr(>F)`[1]), epsilon = num(epsilon),
  pCorrected = num(pf(g$F[1], 3 * epsilon, 15 * epsilon, lower.tail = FALSE)))

# Time against width within skater; invented. One row a trial.
w <- data.frame(skater = rep(paste0("S", 1:5), each = 4), tech = rep(c("a", "a", "b", "b"), 5),
  width = c(.95,.97,1.21,1.25, 1.02,1.00,1.15,1.19, .88,.92,1.10,1.05, 1.10,1.13,1.42,1.38, .99,.96,1.18,1.22),
  time = c(4.81,4.78,4.66,4.70, 4.92,4.95,4.90,4.86, 5.10,5.04,4.97,5.03, 4.60,4.63,4.41,4.39, 4.74,4.79,4.70,4.72))
m <- aggregate(cbind(width, time) ~ skater + tech, w, mean)
l <- lm(time ~ width + factor(skater), m)
ci <- confint(l)["width", ]
res <- function(y) resid(lm(y ~ factor(m$skater)))
within <- obj(skater = txt(w$skater), tech = txt(w$tech), width = num(w$width), time = num(w$time),
  slope = num(coef(l)["width"]), ci = num(ci), df = num(l$df.residual), p = num(summary(l)$coefficients["width", 4]),
  r = num(cor(res(m$width), res(m$time))))

# Signed rank with ties and zeros: exact p from every sign pattern; Hodges-Lehmann from Walsh averages.
d <- c(-0.05, 0.02, 0.05, 0.05, -0.02, 0.11, 0, 0.07, 0.07, 0.2)
nz <- d[d != 0]; r <- rank(abs(nz)); V <- sum(r[nz > 0])
all <- as.matrix(expand.grid(rep(list(0:1), length(nz)))) %*% r
exact <- min(1, 2 * min(mean(all <= V + 1e-9), mean(all >= V - 1e-9)))
hollander <- wilcox.test(c(1.83,0.50,1.62,2.48,1.68,1.88,1.55,3.06,1.30), c(0.878,0.647,0.598,2.05,1.06,1.29,1.06,3.14,1.29),
  paired = TRUE, conf.int = TRUE)
ranks <- obj(differences = num(d), v = num(V), p = num(exact),
  hollander = num(c(hollander$estimate, hollander$conf.int, attr(hollander$conf.int, "conf.level"))),
  signrank10 = num(c(qsignrank(0.025, 10), psignrank(qsignrank(0.025, 10) - 1, 10))))

# Distributions: noncentral t over a grid, upper tails of F, chi-square quantiles.
grid <- expand.grid(t = c(-3, 0, 0.7, 2.5, 6), df = c(1, 2, 4, 9, 30, 120), ncp = c(-2, 0, 1.5, 4))
nct <- obj(t = num(grid$t), df = num(grid$df), ncp = num(grid$ncp), p = num(pt(grid$t, grid$df, grid$ncp)))
dist <- obj(f = num(c(pf(3.2, 2, 9, lower = FALSE), pf(19.221529, 1, 7, lower = FALSE), pf(0.4, 3, 15, lower = FALSE), pf(2.1, 1.83, 9.15, lower = FALSE))),
  chi = num(qchisq(c(.025, .975), 16)))

writeLines(paste0("{\n", paste0('"', c("orthodont", "sleepstudy", "nested", "nestedPlace", "holed", "holedPlace", "overall", "within", "ranks", "noncentralT", "distributions"), '": ',
  c(orthodont, sleep, model(nested), model(nested, "+ place"), model(holed), model(holed, "+ place"), overall, within, ranks, nct, dist), collapse = ",\n"), "\n}"),
  file.path(here, "statistics.json"))
cat("nlme", as.character(packageVersion("nlme")), "lme4", as.character(packageVersion("lme4")), "\n")
