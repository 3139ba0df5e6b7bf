# Writes pool.json: 200 made-up sets of skaters' differences over several evenings and what lme4 makes of them.
# Run: Rscript tests/reference/pool.R   (R 4.2.2, lme4 1.1-31, Debian 12). The tests read the numbers; they need no R.
suppressMessages(library(lme4))
options(digits = 12)
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)))
set.seed(20261128)
tight <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhobeg = 0.2, rhoend = 1e-12, maxfun = 1e6),
  check.conv.singular = "ignore", check.nobs.vs.nlev = "ignore", check.nobs.vs.nRE = "ignore", check.nlev.gtr.1 = "ignore")
num <- function(x) paste0("[", paste(format(x, digits = 12, trim = TRUE, scientific = FALSE), collapse = ","), "]")
txt <- function(x) paste0("[", paste0('"', x, '"', collapse = ","), "]")
one <- function(i) {
  k <- sample(2:8, 1); again <- i %% 2 == 0
  s <- sample(c(0, 0.02, 0.06), 1); p <- sample(c(0.01, 0.05), 1); e <- sample(c(0.01, 0.03), 1)
  pool <- rnorm(9, 0, p)
  d <- do.call(rbind, lapply(1:k, function(j) {
    n <- sample(2:7, 1)
    who <- if (again) sample(1:9, n) else (j * 100 + 1:n)
    own <- if (again) pool[who] else rnorm(n, 0, p)
    data.frame(study = paste0("E", j), skater = paste0("S", who), d = round(-0.1 + rnorm(1, 0, s) + own + rnorm(n, 0, e), 6))
  }))
  # Several starts, the best kept: lme4 alone may end in a local optimum.
  f <- if (again) d ~ 1 + (1 | study) + (1 | skater) else d ~ 1 + (1 | study)
  starts <- if (again) list(c(1, 1), c(0.01, 1), c(1, 0.01), c(0.01, 0.01), c(3, 3)) else list(1, 0.01, 3)
  fits <- lapply(starts, function(t) suppressWarnings(suppressMessages(lmer(f, d, control = tight, start = t))))
  m <- fits[[which.min(sapply(fits, REMLcrit))]]
  v <- as.data.frame(VarCorr(m)); sd <- function(g) { x <- v$sdcor[v$grp == g]; if (length(x)) x else 0 }
  paste0('{"study":', txt(d$study), ',"skater":', txt(d$skater), ',"difference":', num(d$d), ',"mean":', num(fixef(m)[[1]]),
    ',"se":', num(sqrt(vcov(m)[1, 1])), ',"sd_study":', num(sd("study")), ',"sd_skater":', num(sd("skater")), ',"sd_rest":', num(sd("Residual")),
    ',"criterion":', num(REMLcrit(m)), '}')
}
sets <- sapply(1:200, one)
writeLines(paste0('{"made_by":"R ', getRversion(), ', lme4 ', packageVersion("lme4"), '","sets":[\n', paste(sets, collapse = ",\n"), '\n]}'), file.path(here, "pool.json"))
