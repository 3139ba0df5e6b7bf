/** What times by clips have of their own ±, what one skater's trials scatter by, the order of trials, and what follows for each skater; as functions. */
export const REPEAT_VERDICTS = `
# Times by clips: each has its own SD (0: none), and clips and photocells may differ alike by the SD of a beam.
K95 <- qnorm(0.975)
study <- read("study")
beam_sd <- if (!is.null(study) && study$gate_beam %in% "dual") 0.01 else 0.03
clip_sd <- function(quantity, rows) {
  if (quantity == "time_s") ifelse(rows$time_from %in% "clip", as.numeric(rows$time_s_u95) / K95, NA) else rep(NA, nrow(rows))
}
# What of the sum of squares between repeats is the clips' own; one skater's trials of one technique are one cell.
clips_squares <- function(sd, cell) { sd[is.na(sd)] <- 0; sum((1 - 1 / ave(sd, cell, FUN = length)) * sd^2) }
# Variance of a mean of trials, each with its own clock: value and clips say what repeats scatter and what of it is the clips'.
mean_variance <- function(value, clips, sd) { sd[is.na(sd)] <- 0; sum(pmax(value^2 - clips + sd^2, sd^2)) / length(sd)^2 }
difference_variance <- function(own, value, clips) mean_variance(value, clips, own$sd[!own$b]) + mean_variance(value, clips, own$sd[own$b])
lean <- function(own) mean(!is.na(own$sd[own$b])) - mean(!is.na(own$sd[!own$b]))
with_offset <- function(u95, lean) sqrt(u95^2 + (K95 * beam_sd * lean)^2)
# What is left of values of that size: nothing, where it is only what binary rounding leaves.
bare <- function(left, size) { left[abs(left) <= 1e-9 * abs(size)] <- 0; left }
# One skater's repeats about the means of their technique: values y, places x, degrees of freedom, squares that are the clips'.
repeats <- function(own) {
  cell <- split(own, own$b)
  cell <- cell[vapply(cell, nrow, 1L) > 1]
  list(x = unlist(lapply(cell, function(c) c$place - mean(c$place))), y = unlist(lapply(cell, function(c) c$value - mean(c$value))),
    size = unlist(lapply(cell, function(c) rep(mean(c$value), nrow(c)))), df = sum(vapply(cell, nrow, 1L) - 1L), clips = sum(vapply(cell, function(c) clips_squares(c$sd, c$b), 0)))
}
squares <- function(own, slope) sum(bare(own$y - slope * own$x, own$size)^2)
pool <- function(many) {
  x <- unlist(lapply(many, "[[", "x")); y <- unlist(lapply(many, "[[", "y")); total <- sum(sapply(many, "[[", "df")); xx <- sum(x^2)
  steady <- xx > 0 && total - 1 >= 2
  slope <- if (steady) sum(x * y) / xx else 0
  df <- if (steady) total - 1 else total
  list(sd = sqrt(sum(sapply(many, squares, slope)) / df), df = df, slope = slope, xx = if (steady) xx else 0,
    clips = sum(sapply(many, "[[", "clips")) / total)
}
# Variance that others' repeats would have, timed by the clocks of this skater's own.
as_timed <- function(others, own) { clips <- if (own$df == 0) 0 else own$clips / own$df; max(others$sd^2 - others$clips + clips, clips) }
apart <- function(own, others) {
  expected <- as_timed(others, own)
  if (expected == 0) return(if (squares(own, others$slope) > 0) 0 else 1)
  pf(squares(own, others$slope) / own$df / expected, own$df, others$df, lower.tail = FALSE)
}
# Scatter of one trial for every skater: pooled, without who scatters clearly more (Holm's first step), who counts by the own.
scatters <- function(all) {
  having <- which(sapply(all, function(own) own$df > 0))
  if (length(having) == 0) return(NULL)
  kept <- having
  while (length(kept) > 2) {
    p <- sapply(kept, function(i) apart(all[[i]], pool(all[setdiff(kept, i)])))
    if (min(p) >= 0.05 / length(having)) break
    kept <- kept[-which.min(p)]
  }
  common <- pool(all[kept])
  of <- lapply(seq_along(all), function(i) {
    own <- all[[i]]; sd <- if (own$df == 0) 0 else sqrt(squares(own, common$slope) / own$df)
    rest <- setdiff(kept, i)
    if (sd <= sqrt(as_timed(common, own)) || length(rest) == 0) return(list(sd = common$sd, clips = common$clips, df = common$df))
    doubted <- !(i %in% kept) || apart(own, pool(all[rest])) < 0.15
    list(sd = sd, clips = own$clips / own$df, df = if (doubted) own$df else common$df)
  })
  names(of) <- names(all)
  list(of = of, slope = common$slope, error = if (common$xx > 0) common$sd / sqrt(common$xx) else NA)
}
lead <- function(own) { a <- own$place[!own$b]; b <- own$place[own$b]; mean(sign(outer(b, a, "-"))) }
lag <- function(own) mean(own$place[own$b]) - mean(own$place[!own$b])
claim <- function(value, u95, band, banded) if (abs(value) - u95 > band) "beyond" else if (banded && abs(value) + u95 < band) "within" else "open"
# A skater's verdict: beyond what is worth having, also without the steady change, and not skated one before the other.
verdict <- function(own, n, found, worth, one_sided, of_time) {
  difference <- mean(own$value[own$b]) - mean(own$value[!own$b])
  none <- list(u95 = NA, verdict = "can't tell", settles = "open")
  if (is.null(found)) return(none)
  sc <- found$of[[own$skater[1]]]; t <- qt(1 - 0.025 / n, sc$df)
  u95 <- sqrt(t^2 * difference_variance(own, sc$sd, sc$clips) + (qt(1 - 0.025 / n, 1e6) * beam_sd * lean(own))^2)
  none$u95 <- u95
  if (u95 == 0) return(none)
  band <- if (is.na(worth)) 0 else worth
  is <- claim(difference, u95, band, !is.na(worth))
  if (is == "open") return(none)
  left <- difference; left_u95 <- u95
  if (!is.na(found$error)) { left <- difference - found$slope * lag(own); left_u95 <- sqrt(u95^2 + (t * found$error * lag(own))^2) }
  blurred <- one_sided || abs(lead(own)) >= 0.75 || (is.na(found$error) && abs(lag(own)) >= 0.5)
  if (blurred || claim(left, left_u95, band, !is.na(worth)) != is || left * difference < 0) return(none)
  if (is == "within") { none$settles <- "not worth it"; return(none) }
  list(u95 = u95, settles = "worth it", verdict = if (difference < 0) (if (of_time) "faster" else "less") else if (of_time) "slower" else "more")
}
# Whether order passes for a difference, and what is left without a steady change.
judge_order <- function(pairs, change, change_u95, least) {
  lags <- sapply(pairs, lag); diff <- sapply(pairs, function(o) mean(o$value[o$b]) - mean(o$value[!o$b])); n <- length(pairs)
  one <- abs(mean(sapply(pairs, lead))) >= 0.75
  kind <- if (one) "one-sided" else if (abs(mean(lags)) <= 0.05) "balanced" else "leaning"
  value <- NA; u95 <- NA
  if (!is.na(change)) {
    if (n >= 2) {
      left <- diff - change * lags
      u95 <- sqrt(max(qt(0.975, n - 1) * sd(left) / sqrt(n), least)^2 + (change_u95 * mean(lags))^2)
      if (u95 > 1e-9) value <- mean(left) else u95 <- NA
    }
  } else if (n >= 3 && sum((lags - mean(lags))^2) >= 1e-9) {
    x <- lags - mean(lags); slope <- sum(x * (diff - mean(diff))) / sum(x^2)
    rest <- sum((diff - mean(diff) - slope * x)^2)
    error <- sqrt(rest / (n - 2) * (1 / n + mean(lags)^2 / sum(x^2)))
    if (error > 1e-12 * (1 + abs(mean(diff)))) { value <- mean(diff) - slope * mean(lags); u95 <- qt(0.975, n - 2) * error }
  }
  list(kind = kind, blocks = mean(abs(sapply(pairs, lead)) >= 0.75) > 0.5, value = value, u95 = u95)
}
`;
