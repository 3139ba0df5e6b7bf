/** The mixed model as R's own linear algebra has it; as functions. */
export const REPEAT_MODEL = `
# REML at given SDs (in SDs of a trial) of skaters and of their response: difference, its error, SD of a trial, criterion.
reml <- function(d, theta, place) {
  x <- cbind(1, as.numeric(d$b)); if (place) x <- cbind(x, d$place - mean(d$place))
  shift <- mean(d$value); y <- d$value - shift; p <- ncol(x); xx <- matrix(0, p, p); xy <- numeric(p); yy <- 0; logs <- 0
  for (rows in split(seq_along(y), d$skater)) {
    xs <- x[rows, , drop = FALSE]
    v <- diag(length(rows)) + theta[1]^2 + theta[2]^2 * outer(d$b[rows], d$b[rows], "==")
    root <- chol(v); xs <- backsolve(root, xs, transpose = TRUE); ys <- backsolve(root, y[rows], transpose = TRUE)
    logs <- logs + 2 * sum(log(diag(root))); xx <- xx + crossprod(xs); xy <- xy + drop(crossprod(xs, ys)); yy <- yy + sum(ys^2)
  }
  beta <- solve(xx, xy); sigma2 <- (yy - sum(beta * xy)) / (length(y) - p)
  list(value = beta[2], error = sqrt(sigma2 * solve(xx)[2, 2]), sigma = sqrt(sigma2),
    criterion = logs + log(det(xx)) + (length(y) - p) * (1 + log(2 * pi * sigma2)))
}
# The SDs of the table must be as likely as the best that R's own search finds; all else is then redone from them.
check_model <- function(d, row, prefix, place) {
  of <- function(name) row[[paste0(prefix, name)]]
  if (is.na(of("_difference"))) return(invisible())
  told <- !is.na(of("_sd_response"))
  theta <- c(of("_sd_skater"), if (told) of("_sd_response") else 0) / of("_sd_trial")
  fit <- reml(d, theta, place)
  search <- function(s) optim(if (told) s else s[1], function(t) reml(d, if (told) t else c(t, 0), place)$criterion,
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
