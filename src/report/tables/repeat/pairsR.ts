/** Both techniques compared, quantity by quantity. */
export const REPEAT_PAIRS = `
trials$place <- ave(trials$order, trials$skater, FUN = rank)
sums <- function(ranks) { at <- 1; for (r in ranks) at <- (c(at, rep(0, r)) + c(rep(0, r), at)) / 2; at }
flips <- function(d) { s <- 0; for (v in abs(d)) s <- c(s - v, s + v); mean(abs(s) >= abs(sum(d)) - 1e-9 * sum(abs(d))) }
for (i in seq_len(NROW(comparisons))) {
  row <- comparisons[i, ]
  value <- trials[[row$quantity]]
  ok <- trials$valid == "yes" & !is.na(value) & trials$technique %in% c(row$a, row$b)
  if (row$trials_used == "as asked") ok <- ok & !(trials$as_asked %in% "no")
  d <- data.frame(skater = trials$skater, b = trials$technique == row$b, place = trials$place, value = value, sd = clip_sd(row$quantity, trials))[ok, ]
  if (nrow(d) == 0) next
  d <- d[order(d$place), ]
  cell <- paste(d$skater, d$b)
  middle <- ave(d$value, cell); centred <- bare(d$value - middle, middle); at <- d$place - ave(d$place, cell)
  df <- nrow(d) - length(unique(cell))
  error <- if (df > 0) sqrt(sum(centred^2) / df) else NA
  # Of repeats that are exactly alike nobody knows it.
  says("typical_error is told", !is.na(error) && error > 0, !is.na(row$typical_error))
  same("typical_error", error, row$typical_error); same("typical_error_df", df, row$typical_error_df)
  same("typical_error_ci95_low", error * sqrt(df / qchisq(0.975, df)), row$typical_error_ci95_low)
  same("typical_error_ci95_high", error * sqrt(df / qchisq(0.025, df)), row$typical_error_ci95_high)
  same("mdc95_single", 1.96 * sqrt(2) * error, row$mdc95_single)
  change <- NA; change_u95 <- NA
  if (df - 1 >= 1 && sum(at^2) > 0) {
    change <- sum(at * centred) / sum(at^2)
    rest <- sum(bare(d$value - middle - change * at, middle)^2)
    change_u95 <- if (rest > 0) qt(0.975, df - 1) * sqrt(rest / (df - 1) / sum(at^2)) else NA
    same("change_a_trial", change, row$change_a_trial)
    same("change_a_trial_u95", change_u95, row$change_a_trial_u95)
    # Of repeats that are exactly alike but for the change nobody knows how sure it is.
    if (rest == 0) change <- NA
  }
  people <- split(d, factor(d$skater, unique(d$skater)))
  pairs <- Filter(function(own) any(own$b) && any(!own$b), people)
  n <- length(pairs)
  same("n", n, row$n)
  if (n == 0) { says("conclusion", "nobody", row$conclusion); next }
  means <- sapply(pairs, function(own) c(mean(own$value[!own$b]), mean(own$value[own$b])))
  diff <- means[2, ] - means[1, ]
  worth <- row$smallest_worthwhile
  if (row$quantity == "time_s" && !is.na(study$worthwhile_s)) same("smallest_worthwhile", study$worthwhile_s, worth)
  else if (n > 1) same("smallest_worthwhile", 0.2 * sd(colMeans(means)), worth)
  by <- NA; these <- NA; repeats_u95 <- NA; leaning <- mean(sapply(pairs, lean))
  if (df > 0 && error > 0) {
    clips <- clips_squares(d$sd, cell) / df
    by <- mean(sapply(pairs, difference_variance, error, clips))
    repeats_u95 <- qt(0.975, df) * sqrt(by / n); these <- with_offset(repeats_u95, leaning); same("these_u95", these, row$these_u95)
  }
  place <- judge_order(pairs, change, change_u95, if (is.na(repeats_u95)) 0 else repeats_u95)
  place$u95 <- with_offset(place$u95, leaning)
  says("order", place$kind, row$order)
  same("steady_difference", place$value, row$steady_difference); same("steady_u95", place$u95, row$steady_u95)
  same("b_later_by", mean(sapply(pairs, lag)), row$b_later_by)
  found <- scatters(lapply(people, repeats))
  told <- lapply(pairs, verdict, n = n, found = found, worth = worth, one_sided = place$kind == "one-sided", of_time = row$quantity == "time_s")
  for (s in names(pairs)) {
    own <- differences[differences$quantity == row$quantity & differences$trials_used == row$trials_used & differences$skater == s, ]
    same("a_mean", means[1, s], own$a_mean); same("b_mean", means[2, s], own$b_mean)
    same("difference", diff[[s]], own$difference); same("difference_u95", told[[s]]$u95, own$difference_u95)
    same("n_a", sum(!pairs[[s]]$b), own$n_a); same("n_b", sum(pairs[[s]]$b), own$n_b)
    says(paste("verdict of", s), told[[s]]$verdict, own$verdict); says(paste("settles of", s), told[[s]]$settles, own$settles)
  }
  same("mean_difference", mean(diff), row$mean_difference)
  # 2^n patterns as sums of halves would be the same; R holds 2^20 of them easily, and more are not redone here.
  p_flip <- if (n <= 20) flips(diff) else row$p_sign_flip
  if (n <= 20) same("p_sign_flip", p_flip, row$p_sign_flip)
  same("smallest_possible_p_sign_flip", 2 / 2^n, row$smallest_possible_p_sign_flip)
  bar <- 1e-9 * max(abs(diff)); left <- diff[abs(diff) > bar]
  if (length(left) > 0) {
    ranks <- 2 * rank(round(abs(left) / max(bar, 1e-300) / 2)); v <- sum(ranks[left > 0])
    same("p_signed_rank", min(1, 2 * sum(sums(ranks)[seq_len(min(v, sum(ranks) - v) + 1)])), row$p_signed_rank)
  }
  walsh <- outer(diff, diff, "+")[upper.tri(diag(n), diag = TRUE)] / 2
  same("middle_difference", median(walsh), row$middle_difference)
  share <- sums(seq_len(n)); cut <- sum(2 * cumsum(share) <= 0.05)
  if (cut > 0) {
    same("middle_low", sort(walsh)[cut], row$middle_low); same("middle_high", sort(walsh, decreasing = TRUE)[cut], row$middle_high)
  }
  response_p <- NA
  if (n > 1 && !is.na(by)) {
    f <- var(diff) / by; response_p <- pf(f, n - 1, df, lower.tail = FALSE); spread <- function(ratio) sqrt(max(0, ratio - 1) * by)
    same("response_sd", spread(f), row$response_sd); same("response_p", response_p, row$response_p)
    same("response_ci95_low", spread(f / qf(0.975, n - 1, df)), row$response_ci95_low)
    same("response_ci95_high", spread(f / qf(0.025, n - 1, df)), row$response_ci95_high)
  }
  general <- NA; p_t <- NA; p_alike <- NA
  # Where clocks lean no test is shown, and it is concluded from all the same.
  if (n > 1 && (!is.na(row$t) || (leaning != 0 && sd(diff) > 1e-9 * max(abs(means))))) {
    test <- t.test(diff); p_t <- test$p.value
    same("sd_of_differences", sd(diff), row$sd_of_differences)
    same("t", test$statistic, row$t); same("df", test$parameter, row$df); same("p_t", p_t, row$p_t)
    same("ci95_low", test$conf.int[1], row$ci95_low); same("ci95_high", test$conf.int[2], row$ci95_high)
    same("d_z", mean(diff) / sd(diff), row$d_z)
    # The ends by what they are: noncentral t with them as noncentrality has the t that was seen at 97.5 and 2.5 %.
    for (end in c("low", "high")) {
      ncp <- row[[paste0("d_z_ci95_", end)]] * sqrt(n)
      if (!is.na(ncp) && abs(ncp) < 37 && !is.na(row$t)) same(paste0("d_z_ci95_", end), suppressWarnings(pt(row$t, n - 1, ncp)), if (end == "low") 0.975 else 0.025)
    }
    if (n > 2) {
      j <- exp(lgamma((n - 1) / 2) - log(sqrt((n - 1) / 2)) - lgamma((n - 2) / 2))
      same("g_z", j * row$d_z, row$g_z)
      same("g_z_ci95_low", j * row$d_z_ci95_low, row$g_z_ci95_low); same("g_z_ci95_high", j * row$d_z_ci95_high, row$g_z_ci95_high)
    }
    general <- with_offset(max(repeats_u95, (test$conf.int[2] - test$conf.int[1]) / 2, na.rm = TRUE), leaning)
    same("general_u95", general, row$general_u95)
    if (!is.na(worth) && worth > 0) {
      se <- sd(diff) / sqrt(n)
      p_alike <- max(pt((mean(diff) + worth) / se, n - 1, lower.tail = FALSE), pt((worth - mean(diff)) / se, n - 1, lower.tail = FALSE))
      same("p_alike", p_alike, row$p_alike)
    }
  }
  check_model(d, row, "model", FALSE); check_model(d, row, "model_with_place", TRUE)
  # What may be said, the strongest that the numbers carry.
  said <- sapply(told, "[[", "verdict")
  opposite <- any(said %in% c("faster", "less")) && any(said %in% c("slower", "more"))
  holds <- function() place$kind == "balanced" || (!is.na(place$value) && abs(place$value) > place$u95 && place$value * mean(diff) > 0)
  few <- 2 / 2^n > 0.05
  within <- function(value, u95) !is.na(value) && abs(value) + u95 < worth
  alike <- row$quantity == "time_s" && !is.na(study$worthwhile_s) && !is.na(general) && within(mean(diff), general) &&
    (if (few) !is.na(these) && within(mean(diff), these) else !is.na(p_alike) && p_alike <= 0.05) &&
    (place$kind == "balanced" || within(place$value, place$u95))
  lagged <- if (is.na(change)) NA else mean(diff) - change * mean(sapply(pairs, lag))
  clear <- !is.na(these) && abs(mean(diff)) > these && !place$blocks && (place$kind == "balanced" || (!is.na(lagged) &&
    lagged * mean(diff) > 0 && abs(lagged) > sqrt(these^2 + (change_u95 * mean(sapply(pairs, lag)))^2)))
  is <- if (n == 1) "one skater" else if (place$kind == "one-sided") "order"
    else if (opposite && (is.na(response_p) || response_p <= 0.05)) "depends"
    else if (!few && (is.na(p_t) || p_t <= 0.05) && (is.na(p_flip) || p_flip <= 0.05) && (is.na(general) || abs(mean(diff)) > general) && holds()) "settled"
    else if (alike) "alike" else if (clear) "these" else "open"
  says("conclusion", is, row$conclusion)
}
`;
