/** Three or more techniques, repeatability of trials and of marking, and both sides. */
export const REPEAT_OTHERS = `
used <- function(quantity) {
  value <- trials[[quantity]]; ok <- trials$valid == "yes" & !is.na(value)
  data.frame(skater = trials$skater, technique = trials$technique, order = trials$order, value = value, sd = clip_sd(quantity, trials))[ok, ]
}
pairs <- read("technique_pairs"); overall <- read("overall_tests")
for (quantity in unique(overall$quantity)) {
  d <- used(quantity); techniques <- unique(c(pairs$a, pairs$b))
  d <- d[d$technique %in% techniques, ]
  cell <- paste(d$skater, d$technique); df <- nrow(d) - length(unique(cell))
  error <- if (df > 0) sqrt(sum(bare(d$value - ave(d$value, cell), d$value)^2) / df) else NA
  m <- tapply(d$value, list(d$skater, factor(d$technique, techniques)), mean)
  cells <- function(of) tapply(seq_len(nrow(d)), list(d$skater, factor(d$technique, techniques)), function(at) of(d$sd[at]))
  by_clip <- cells(function(sd) mean(!is.na(sd)))
  spread <- if (!is.na(error) && error > 0) cells(function(sd) mean_variance(error, clips_squares(d$sd, cell) / df, sd)) else NA
  own <- pairs[pairs$quantity == quantity, ]; ps <- numeric(0)
  for (i in seq_len(nrow(own))) {
    both <- !is.na(m[, own$a[i]]) & !is.na(m[, own$b[i]]); diff <- (m[, own$b[i]] - m[, own$a[i]])[both]; n <- length(diff)
    same("n of a pair", n, own$n[i]); p <- NA
    if (n > 0) same("difference of a pair", mean(diff), own$difference[i])
    if (n > 1 && !is.na(own$ci95_low[i])) {
      test <- t.test(diff); half <- diff(as.numeric(test$conf.int)) / 2; p <- test$p.value
      if (!is.na(error) && error > 0) {
        se <- sqrt(sum(spread[both, own$a[i]] + spread[both, own$b[i]])) / n
        half <- max(half, qt(0.975, df) * se); p <- max(p, 2 * pt(-abs(mean(diff) / se), df))
      }
      leaning <- mean(by_clip[both, own$b[i]] - by_clip[both, own$a[i]]); half <- with_offset(half, leaning)
      if (leaning != 0) p <- NA
      same("ci95_low of a pair", mean(diff) - half, own$ci95_low[i]); same("ci95_high of a pair", mean(diff) + half, own$ci95_high[i])
      same("p of a pair", p, own$p[i])
    }
    ps <- c(ps, p)
  }
  for (i in seq_len(nrow(own))) same("p_holm", p.adjust(ps, "holm")[i], own$p_holm[i])
  row <- overall[overall$quantity == quantity, ]; full <- m[stats::complete.cases(m), , drop = FALSE]
  same("n of all", nrow(full), row$n)
  if (is.na(row$f)) next
  long <- data.frame(value = as.vector(full), skater = factor(rep(rownames(full), ncol(full))), technique = factor(rep(colnames(full), each = nrow(full))))
  table <- summary(aov(value ~ technique + skater, long))[[1]]; rownames(table) <- trimws(rownames(table))
  f <- table["technique", "F value"]; df1 <- table["technique", "Df"]; df2 <- table["Residuals", "Df"]
  s <- cov(full); s <- s - outer(rowMeans(s), colMeans(s), "+") + mean(s); epsilon <- sum(diag(s))^2 / (df1 * sum(s^2))
  same("f", f, row$f); same("df1", df1, row$df1); same("df2", df2, row$df2); same("epsilon", epsilon, row$epsilon)
  same("p", pf(f, df1, df2, lower.tail = FALSE), row$p)
  same("p_corrected", pf(f, epsilon * df1, epsilon * df2, lower.tail = FALSE), row$p_corrected)
}
# Rows read k times each, against a row of reliability figures.
check_reliability <- function(x, row) {
  n <- nrow(x); k <- ncol(x); long <- data.frame(v = as.vector(x), row = factor(rep(seq_len(n), k)), column = factor(rep(seq_len(k), each = n)))
  ms <- anova(lm(v ~ row + column, long))[["Mean Sq"]]; r <- ms[1]; j <- ms[2]; e <- ms[3]; dfe <- (n - 1) * (k - 1)
  w <- ((k - 1) * j + dfe * e) / (n * (k - 1))
  # Readings that repeat exactly, but for a change common to all, don't show how well.
  told <- !is.na(row[grepl("^(typical_error|mdc95|cv_percent|icc_|bias|limits_)", names(row))])
  exact <- sqrt(e) <= 1e-9 * max(abs(x)); says("readings repeat exactly", exact, !any(told))
  if (exact) return(invisible())
  has <- function(name) name %in% names(row) && !is.na(row[[name]])
  at <- function(name, ours) if (has(name)) same(name, ours, row[[name]])
  at("typical_error", sqrt(e)); at("mdc95", 1.96 * sqrt(2 * e))
  at("typical_error_ci95_low", sqrt(e * dfe / qchisq(0.975, dfe))); at("typical_error_ci95_high", sqrt(e * dfe / qchisq(0.025, dfe)))
  if (all(x > 0) && "cv_percent" %in% names(row)) {
    share <- sqrt(anova(lm(log(v) ~ row + column, long))[["Mean Sq"]][3]); says("shares repeat exactly", share <= 1e-9, is.na(row$cv_percent))
    at("cv_percent", 100 * (exp(share) - 1))
  }
  at("icc_1_1", (r - w) / (r + (k - 1) * w)); at("icc_3_1", (r - e) / (r + (k - 1) * e))
  at("icc_2_1", (r - e) / (r + (k - 1) * e + k * (j - e) / n))
  ends <- function(f, d1, d2) { fs <- c(f / qf(0.975, d1, d2), f * qf(0.975, d2, d1)); (fs - 1) / (fs + k - 1) }
  one <- ends(r / w, n - 1, n * (k - 1)); at("icc_1_1_ci95_low", one[1]); at("icc_1_1_ci95_high", one[2])
  three <- ends(r / e, n - 1, dfe); at("icc_3_1_ci95_low", three[1]); at("icc_3_1_ci95_high", three[2])
  if (has("icc_2_1_ci95_low")) {
    icc <- row$icc_2_1; a <- k * icc * j / e; c <- n * (1 + (k - 1) * icc) - k * icc
    v <- (k - 1) * (n - 1) * (a + c)^2 / ((n - 1) * a^2 + c^2); spread <- k * j + (k * n - k - n) * e
    up <- qf(0.975, n - 1, v); down <- qf(0.975, v, n - 1); low <- n * (r - up * e) / (up * spread + n * r)
    at("icc_2_1_ci95_low", if (is.finite(low)) low else -1); at("icc_2_1_ci95_high", n * (down * r - e) / (spread + n * down * r))
  }
  if (k == 2) {
    gap <- x[, 1] - x[, 2]; at("bias", mean(gap))
    at("limits_low", mean(gap) - 1.96 * sd(gap)); at("limits_high", mean(gap) + 1.96 * sd(gap))
  }
}
repeatability <- read("repeatability")
for (i in seq_len(NROW(repeatability))) {
  row <- repeatability[i, ]; if (is.na(row$skaters)) next
  d <- used(row$quantity); d <- d[d$technique == row$technique, ]; d <- d[order(d$order), ]
  lists <- split(d$value, d$skater); size <- sapply(2:max(lengths(lists)), function(k) { have <- sum(lengths(lists) >= k); if (have >= 2) k * have else 0 })
  k <- 1 + max(which(size == max(size))); kept <- lists[lengths(lists) >= k]
  same("skaters of repeatability", length(kept), row$skaters); same("trials of repeatability", k, row$trials)
  check_reliability(t(sapply(kept, "[", seq_len(k))), row)
}
marking <- read("marking_reliability"); readings <- read("marking_readings")
for (i in seq_len(NROW(marking))) {
  row <- marking[i, ]; if (is.na(row$strides)) next
  own <- readings[readings$quantity == row$quantity, ]
  x <- tapply(own$value, list(paste(own$trial, own$stride), own$marking), mean)
  same("strides marked again", nrow(x), row$strides)
  check_reliability(x, row)
}
sides <- read("sides")
for (i in seq_len(NROW(sides))) {
  row <- sides[i, ]; left <- paste0(row$quantity, "_left")
  if (row$n == 0 || !(left %in% names(trials))) next
  own <- trials[trials$valid == "yes" & trials$skater == row$skater & trials$technique == row$technique, ]
  x <- own[[left]]; y <- own[[paste0(row$quantity, "_right")]]; gap <- own[[paste0(row$quantity, "_left_minus_right")]]
  had <- !is.na(x) & !is.na(y) & !is.na(gap)
  same("n of sides", sum(had), row$n); same("left", mean(x[had]), row$left); same("right", mean(y[had]), row$right)
  same("left_minus_right", mean(gap[had]), row$left_minus_right)
  if (sum(had) > 1) same("left_minus_right_sd", sd(gap[had]), row$left_minus_right_sd)
}
`;
