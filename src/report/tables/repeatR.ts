/** `repeat.R`, beside the tables: redoes the comparisons from `trials.csv` with nothing but R itself, and says how far off they are. */
export const REPEAT_R = String.raw`# Redoes differences.csv and comparisons.csv from trials.csv. Run: Rscript repeat.R (R alone, no packages).
# Not redone here: the mixed model, effect sizes with their intervals, ranks, and the interval of each skater's own difference.
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)))
read <- function(name) read.csv(file.path(here, paste0(name, ".csv")), stringsAsFactors = FALSE,
  check.names = FALSE, na.strings = "", encoding = "UTF-8")
trials <- read("trials"); differences <- read("differences"); comparisons <- read("comparisons")
worst <- 0; compared <- 0
same <- function(what, ours, table) {
  if (is.na(ours) || is.na(table)) return(invisible())
  off <- abs(ours - table) / max(1, abs(table))
  compared <<- compared + 1; worst <<- max(worst, off)
  if (off > 1e-9) cat("differs:", what, ours, "in the table", table, "\n")
}
trials$place <- ave(trials$order, trials$skater, FUN = rank)
for (i in seq_len(nrow(comparisons))) {
  row <- comparisons[i, ]
  value <- trials[[row$quantity]]
  ok <- trials$valid == "yes" & !is.na(value) & trials$technique %in% c(row$a, row$b)
  if (row$trials_used == "as asked") ok <- ok & !(trials$as_asked %in% "no")
  d <- data.frame(skater = trials$skater, b = trials$technique == row$b, place = trials$place, value = value)[ok, ]
  if (nrow(d) == 0) next
  cell <- interaction(d$skater, d$b)
  centred <- d$value - ave(d$value, cell); at <- d$place - ave(d$place, cell)
  df <- nrow(d) - length(unique(cell))
  error <- if (df > 0) sqrt(sum(centred^2) / df) else NA
  same("typical_error", error, row$typical_error)
  same("mdc95_single", 1.96 * sqrt(2) * error, row$mdc95_single)
  if (sum(at^2) > 0) same("change_a_trial", sum(at * centred) / sum(at^2), row$change_a_trial)
  of <- function(s, b) d$value[d$skater == s & d$b == b]
  both <- Filter(function(s) length(of(s, TRUE)) > 0 && length(of(s, FALSE)) > 0, unique(d$skater))
  n <- length(both)
  same("n", n, row$n)
  if (n == 0) next
  means <- sapply(both, function(s) c(mean(of(s, FALSE)), mean(of(s, TRUE))))
  diff <- means[2, ] - means[1, ]
  for (s in both) {
    own <- differences[differences$quantity == row$quantity & differences$trials_used == row$trials_used & differences$skater == s, ]
    same("a_mean", means[1, s], own$a_mean); same("b_mean", means[2, s], own$b_mean)
    same("difference", diff[[s]], own$difference)
  }
  same("mean_difference", mean(diff), row$mean_difference)
  these <- NA
  if (df > 0 && error > 0) {
    shares <- sum(sapply(both, function(s) 1 / length(of(s, TRUE)) + 1 / length(of(s, FALSE))))
    these <- qt(0.975, df) * error * sqrt(shares) / n
    same("these_u95", these, row$these_u95)
  }
  if (n <= 16) {
    signs <- as.matrix(expand.grid(rep(list(c(-1, 1)), n)))
    sums <- abs(signs %*% diff)
    same("p_sign_flip", mean(sums >= abs(sum(diff)) - 1e-9 * sum(abs(diff))), row$p_sign_flip)
  }
  if (n < 2 || is.na(row$t)) next
  test <- t.test(diff)
  same("sd_of_differences", sd(diff), row$sd_of_differences)
  same("t", test$statistic, row$t); same("df", test$parameter, row$df); same("p_t", test$p.value, row$p_t)
  same("ci95_low", test$conf.int[1], row$ci95_low); same("ci95_high", test$conf.int[2], row$ci95_high)
  same("d_z", mean(diff) / sd(diff), row$d_z)
  same("general_u95", max(these, (test$conf.int[2] - test$conf.int[1]) / 2, na.rm = TRUE), row$general_u95)
  worth <- row$smallest_worthwhile
  if (!is.na(worth) && worth > 0 && !is.na(row$p_alike)) {
    se <- sd(diff) / sqrt(n)
    same("p_alike", max(1 - pt((mean(diff) + worth) / se, n - 1), 1 - pt((worth - mean(diff)) / se, n - 1)), row$p_alike)
  }
}
cat("numbers redone:", compared, "  largest deviation:", format(worst, digits = 3), "\n")
if (worst > 1e-9 || compared == 0) quit(status = 1)
`;
