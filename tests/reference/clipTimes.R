# Writes clipTimes.json: times of which some are by clips, each with its own known SD, and what R makes of the mean difference.
# Run: Rscript tests/reference/clipTimes.R. Made with R 4.2.2 (base packages only).
# One skater and technique is a cell. lm gives the pooled scatter of repeats; with residual r_i = (I - H) e the known
# variances make sum((1 - h_ii) v_i) of its sum of squares (Cochran 1954). A trial's variance is what is left, plus its own v.
options(digits = 15)
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)))
num <- function(x) paste0("[", paste(format(x, digits = 15, trim = TRUE), collapse = ","), "]")
txt <- function(x) paste0("[", paste0('"', x, '"', collapse = ","), "]")

d <- data.frame(
  skater = c("A","A","A","A", "B","B","B","B","B", "C","C","C","C", "D","D","D"),
  tech   = c("a","a","b","b", "a","a","a","b","b", "a","a","b","b", "a","b","b"),
  time   = c(4.87,4.91,4.78,4.74, 5.02,5.05,4.99,4.93,4.96, 4.61,4.66,4.55,4.58, 5.21,5.16,5.09),
  sd     = c(0,0.014,0.019,0, 0,0,0.014,0,0.026, 0.019,0.014,0.014,0.019, 0,0,0))
d$cell <- factor(paste(d$skater, d$tech))
fit <- lm(time ~ 0 + cell, d)
df <- df.residual(fit)
pooled <- sum(resid(fit)^2) / df
clips <- sum((1 - hatvalues(fit)) * d$sd^2) / df
v <- pmax(pooled - clips + d$sd^2, d$sd^2)
# The mean over skaters of mean b minus mean a, as one contrast of all trials.
skaters <- unique(d$skater)
n <- ave(rep(1, nrow(d)), d$cell, FUN = sum)
contrast <- ifelse(d$tech == "b", 1, -1) / n / length(skaters)
difference <- sum(contrast * d$time)
se <- sqrt(sum(contrast^2 * v))
own <- sapply(skaters, function(s) { k <- d$skater == s; sqrt(sum((ifelse(d$tech == "b", 1, -1) / n)[k]^2 * v[k])) })
cat("{", paste0(
  '"skater":', txt(d$skater), ',\n"technique":', txt(d$tech), ',\n"time":', num(d$time), ',\n"sd":', num(d$sd),
  ',\n"df":', df, ',\n"pooledSd":', num(sqrt(pooled)), ',\n"clips":', num(clips),
  ',\n"difference":', num(difference), ',\n"standardError":', num(se), ',\n"t975":', num(qt(0.975, df)),
  ',\n"ownStandardError":', num(own)), "}\n", sep = "", file = file.path(here, "clipTimes.json"))
