import { REPEAT_MODEL } from "./modelR.ts";
import { REPEAT_OTHERS } from "./othersR.ts";
import { REPEAT_PAIRS } from "./pairsR.ts";
import { REPEAT_VERDICTS } from "./verdictsR.ts";

const START = String.raw`# Redoes from trials.csv what the other tables say of it: differences with verdicts, comparisons with order, effect sizes,
# ranks and the mixed model, all pairs of techniques with Holm, the test over all of them, repeatability of each technique, both
# sides; and marking_reliability.csv from marking_readings.csv. Run: Rscript repeat.R (R alone, no packages).
# What trials.csv and marking_readings.csv hold was measured from marks on pictures: blademark measure does that.
# R writes a space of a path as ~+~ there.
here <- dirname(gsub("~+~", " ", sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)), fixed = TRUE))
read <- function(name) {
  path <- file.path(here, paste0(name, ".csv"))
  if (!file.exists(path)) return(NULL)
  read.csv(path, stringsAsFactors = FALSE, check.names = FALSE, na.strings = "", encoding = "UTF-8")
}
trials <- read("trials")
if (is.null(trials)) stop("trials.csv is not beside repeat.R")
differences <- read("differences"); comparisons <- read("comparisons")
worst <- 0; compared <- 0; failed <- 0
same <- function(what, ours, table) {
  if (is.na(table)) return(invisible())
  if (is.na(ours)) { failed <<- failed + 1; cat("not redone:", what, "in the table", table, "\n"); return(invisible()) }
  off <- abs(ours - table) / max(1e-3, abs(table))
  compared <<- compared + 1; worst <<- max(worst, off)
  if (off > 1e-9) cat("differs:", what, format(ours, digits = 15), "in the table", format(table, digits = 15), "\n")
}
says <- function(what, ours, table) {
  compared <<- compared + 1
  if (!identical(as.character(ours), as.character(table))) { failed <<- failed + 1; cat("differs:", what, ours, "in the table", table, "\n") }
}
`;

const END = String.raw`cat("numbers redone:", compared, "  largest deviation:", format(worst, digits = 3), "\n")
if (worst > 1e-9 || failed > 0 || compared == 0) quit(status = 1)
`;

/** `repeat.R`, beside the tables: redoes what they say with nothing but R itself, and says how far off they are. */
export const REPEAT_R = [START, REPEAT_VERDICTS, REPEAT_MODEL, REPEAT_PAIRS, REPEAT_OTHERS, END].join("");
