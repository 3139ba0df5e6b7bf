/** The mixed model as R's own linear algebra has it; as functions. */
export const REPEAT_MODEL = `
# Each skater's rows of the model (1, technique, place, value) and which of them are of one technique.
trials_of <- function(d, place) {
  x <- cbind(1, as.numeric(d$b)); if (place) x <- cbind(x, d$place - mean(d$place))
  z <- cbind(x, d$value - mean(d$value))
  unname(lapply(split(seq_len(nrow(z)), d$skater), function(rows)
    list(z = z[rows, , drop = FALSE], one = diag(length(rows)), alike = 1 * outer(d$b[rows], d$b[rows], "=="))))
}
# REML at given SDs (in SDs of a trial) of skaters and of their response: difference, its error, SD of a trial, criterion.
reml <- function(people, theta) {
  p <- ncol(people[[1]]$z) - 1; zz <- matrix(0, p + 1, p + 1); logs <- 0; n <- 0
  for (own in people) {
    root <- chol.default(own$one + theta[1]^2 + theta[2]^2 * own$alike)
    zz <- zz + crossprod(backsolve(root, own$z, transpose = TRUE))
    logs <- logs + 2 * sum(log(root[own$one == 1])); n <- n + nrow(own$z)
  }
  x <- seq_len(p); root <- chol.default(zz[x, x]); inverse <- chol2inv(root); beta <- drop(inverse %*% zz[x, p + 1])
  sigma2 <- (zz[p + 1, p + 1] - sum(beta * zz[x, p + 1])) / (n - p)
  list(value = beta[2], error = sqrt(sigma2 * inverse[2, 2]), sigma = sqrt(sigma2),
    criterion = logs + 2 * sum(log(diag(root))) + (n - p) * (1 + log(2 * pi * sigma2)))
}
# The SDs of the table must be as likely as the best that R's own search finds; all else is then redone from them.
check_model <- function(d, row, prefix, place) {
  of <- function(name) row[[paste0(prefix, name)]]
  if (is.na(of("_difference"))) return(invisible())
  told <- !is.na(of("_sd_response"))
  theta <- c(of("_sd_skater"), if (told) of("_sd_response") else 0) / of("_sd_trial")
  people <- trials_of(d, place); fit <- reml(people, theta)
  search <- function(s) optim(if (told) s else s[1], function(t) reml(people, if (told) t else c(t, 0))$criterion,
    method = if (told) "Nelder-Mead" else "BFGS", control = list(reltol = 1e-11, maxit = 500))$value
  best <- min(sapply(list(c(1, 1), c(6, 0.3)), search))
  says(paste(prefix, "is as likely as the best that was found"), fit$criterion <= best + 1e-6, TRUE)
  same(paste0(prefix, "_sd_trial"), fit$sigma, of("_sd_trial"))
  same(paste0(prefix, "_difference"), fit$value, of("_difference"))
  cells <- length(unique(paste(d$skater, d$b))); df <- cells - length(unique(d$skater)) - 1
  reach <- qt(0.975, df) * fit$error
  same(paste0(prefix, "_df"), df, of("_df"))
  same(paste0(prefix, "_ci95_low"), fit$value - reach, of("_ci95_low")); same(paste0(prefix, "_ci95_high"), fit$value + reach, of("_ci95_high"))
  same(paste0(prefix, "_p"), 2 * pt(-abs(fit$value / fit$error), df), of("_p"))
}
`;
