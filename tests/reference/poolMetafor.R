# Writes poolMetafor.json: what metafor makes of the 200 sets in pool.json, another program by other people than lme4's.
# Run: Rscript tests/reference/poolMetafor.R   (R 4.2.2, metafor 3.8-1, jsonlite, Debian 12; five minutes). The tests need no R.
# Each difference is an estimate without an error of its own (V = 0); evening, skater and rest are random, by REML. One set of
# the 200 has no fit there from any start: null.
suppressMessages(library(metafor)); library(jsonlite)
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)))
sets <- fromJSON(file.path(here, "pool.json"), simplifyVector = TRUE, simplifyDataFrame = FALSE)$sets
one <- function(s) {
  d <- data.frame(d = s$difference, study = s$study, skater = s$skater, row = seq_along(s$difference))
  again <- length(unique(d$skater)) < nrow(d)
  terms <- if (again) list(~1 | study, ~1 | skater, ~1 | row) else list(~1 | study, ~1 | row)
  # Several starts, the best kept.
  starts <- if (again) list(c(.3, .3, .3), c(.01, .6, .3), c(.6, .01, .3), c(.01, .01, .9), c(.05, .05, .05)) else list(c(.5, .5), c(.01, .9), c(.9, .1))
  fits <- lapply(starts, function(t) tryCatch(suppressWarnings(rma.mv(d ~ 1, V = 0, random = terms, data = d, method = "REML",
    control = list(optimizer = "optim", optmethod = "Nelder-Mead", maxit = 20000, reltol = 1e-15, sigma2.init = pmax(t * var(d$d), 1e-9)))), error = function(e) NULL))
  fits <- Filter(Negate(is.null), fits)
  if (!length(fits)) return("null")
  m <- fits[[which.max(sapply(fits, function(f) as.numeric(logLik(f))))]]
  v <- m$sigma2; sd <- sqrt(c(v[1], if (again) v[2] + v[3] else v[2]))
  num <- function(x) format(x, digits = 12, scientific = FALSE, trim = TRUE)
  paste0('{"mean":', num(m$b[1]), ',"se":', num(m$se), ',"sd_study":', num(sd[1]), ',"sd_within":', num(sd[2]), '}')
}
writeLines(paste0('{"made_by":"R ', getRversion(), ', metafor ', packageVersion("metafor"), '","sets":[\n',
  paste(sapply(sets, one), collapse = ",\n"), '\n]}'), file.path(here, "poolMetafor.json"))
