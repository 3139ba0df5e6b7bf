# Writes mixedModels.json: 260 random studies of two techniques and the best optimum lme4 finds for each, over three
# optimisers and five starts: one search alone ends in a local optimum in about one study of 60.
# Run: Rscript tests/reference/mixedModels.R. Made with R 4.2.2, lme4 1.1-31 (Debian 12). The tests need no R.
suppressMessages(library(lme4))
options(digits = 15, warn = -1)
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)))
set.seed(20261128)

num <- function(x) paste0("[", paste(format(x, digits = 12, trim = TRUE), collapse = ","), "]")
quiet <- list(check.conv.singular = "ignore", check.conv.grad = "ignore", check.conv.hess = "ignore")
control <- function(o, opt) do.call(lmerControl, c(list(optimizer = o, optCtrl = opt), quiet))
controls <- list(
  control("bobyqa", list(rhobeg = 0.2, rhoend = 1e-12, maxfun = 1e6)),
  control("Nelder_Mead", list(maxfun = 1e5, xst = 1e-9, xt = 1e-12, FtolAbs = 1e-12, FtolRel = 1e-14)),
  control("nloptwrap", list(xtol_abs = 1e-10, ftol_abs = 1e-12, maxeval = 1e5)))
starts <- list(c(1, 1), c(0.02, 0.02), c(5, 0.1), c(0.1, 5), c(20, 20))

best <- function(f, d) {
  found <- list()
  for (co in controls) for (s in starts) {
    m <- tryCatch(suppressMessages(lmer(f, d, control = co, start = s)), error = function(e) NULL)
    if (!is.null(m)) found[[length(found) + 1]] <- m
  }
  crits <- sapply(found, REMLcrit)
  m <- found[[which.min(crits)]]
  v <- as.data.frame(VarCorr(m))
  sd <- function(g) v$sdcor[v$grp == g]
  c(fixef(m)[2], sqrt(vcov(m)[2, 2]), sd("skater"), sd("skater:tech"), sd("Residual"), REMLcrit(m), max(crits))
}

study <- function() {
  repeat {
    skaters <- sample(c(4, 5, 5, 6, 8), 1); repeats <- sample(2:3, 1)
    d <- expand.grid(k = 1:repeats, tech = 0:1, skater = 1:skaters)
    d$place <- as.vector(replicate(skaters, sample(2 * repeats)))
    trial <- 10^runif(1, -2.3, -0.7)
    sk <- rnorm(skaters, 0, 10^runif(1, -2.3, -0.3)); st <- rnorm(2 * skaters, 0, 10^runif(1, -2.5, -0.7))
    d$time <- round(4.7 + sk[d$skater] + st[2 * d$skater - d$tech] - 0.05 * d$tech + rnorm(nrow(d), 0, trial), 3)
    cell <- interaction(d$skater, d$tech)
    gone <- sample(levels(cell), round(sample(c(0, 0.25, 0.25), 1) * 2 * skaters))
    d <- d[!(cell %in% gone), ]
    d <- d[runif(nrow(d)) > sample(c(0, 0.15), 1), ]
    both <- tapply(d$tech, d$skater, function(t) length(unique(t)) == 2)
    if (sum(both) >= 2 && anyDuplicated(d[, c("skater", "tech")]) && length(unique(d$tech)) == 2) break
  }
  d$skater <- factor(d$skater); d$tech <- factor(d$tech)
  plain <- best(time ~ tech + (1 | skater) + (1 | skater:tech), d)
  place <- best(time ~ tech + place + (1 | skater) + (1 | skater:tech), d)
  paste0('{"skater":', num(as.integer(d$skater)), ',"tech":', num(as.integer(d$tech) - 1), ',"place":', num(d$place),
    ',"time":', num(d$time), ',"plain":', num(plain), ',"withPlace":', num(place), "}")
}
rows <- replicate(260, study())
writeLines(paste0("[\n", paste(rows, collapse = ",\n"), "\n]"), file.path(here, "mixedModels.json"))
cat("lme4", as.character(packageVersion("lme4")), "\n")
