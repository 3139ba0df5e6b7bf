import { QUANTITY_WORDS } from "../quantities/compared.ts";
import { lowEnd, tooSmallToMatter } from "./headlineWords.ts";
import { countWord, sizeText } from "./numbers.ts";
import type { Comparison, Pair } from "./types.ts";

/** What would tell more than another look at these numbers. */
export function nextStep(c: Comparison): string {
  const { name } = QUANTITY_WORDS[c.quantity];
  const timed = c.quantity === "time_s";
  if (c.conclusion === "nobody") return timed ? "Next: time each technique at least twice." : "";
  if (c.conclusion === "order")
    return "Next: skate it again with the order alternating, half of the skaters starting with each.";
  if (c.typicalError.value === null)
    return "Next: let everybody skate each technique at least twice, so that scatter is known.";
  if (c.these.value === null && c.n > 1 && timed) return "Next: time to more digits.";
  if (c.conclusion === "depends")
    return "Next: choose for each skater by the verdicts below, and time those again.";
  if (c.n < 6) return moreSkaters(c);
  if (c.conclusion === "settled" && tooSmallToMatter(c))
    return `Next: choose by what else counts; ${name} does not tell them apart by enough.`;
  if (c.conclusion === "settled") {
    const better = (c.meanDifference.value ?? 0) < 0 ? c.b : c.a;
    if (!timed) return "";
    const { value: worth, from } = { from: null, ...c.smallestWorthwhile };
    const unsure = worth !== null && from === "said" && (lowEnd(c)?.low ?? 0) <= worth;
    return unsure
      ? `Next: time ${better} again another day, to see whether it is worth coaching.`
      : `Next: coach ${better}, and time it again another day.`;
  }
  if (c.conclusion === "alike") return `Next: choose by what else counts; ${name} does not tell them apart.`;
  return "Next: more trials and more skaters; Plan says how many.";
}

/**
 * How many more could settle it. Six who agree can: by chance they would in 1 study of 32. Each who does not asks for no more
 * than six who do, if theirs is the smallest difference: 2 x 2^k of 2^(6 + k) ways are as extreme.
 */
function moreSkaters(c: Comparison): string {
  const count = (sign: 1 | -1) => c.pairs.filter((p) => p.difference * sign > 1e-9).length;
  const agree = Math.max(count(1), count(-1));
  const lacking = 6 - (c.conclusion === "alike" ? c.n : agree);
  const more = `Next: ${countWord(lacking)} more ${lacking === 1 ? "skater" : "skaters"}`;
  if (c.conclusion === "alike") return `${more}, to see whether others are as alike.`;
  return `${more}; six who agree can settle it.`;
}

/** More trials of one technique than that nobody skates for one verdict. */
const MOST_TRIALS = 20;

/** What would tell more of one skater. Without a pair there is nothing to compare yet. */
export function nextForSkater(
  pair: Pair | undefined,
  c: Pick<Comparison, "a" | "b" | "quantity" | "smallestWorthwhile">,
): string {
  if (!pair) return "Next: time each technique at least twice.";
  const { difference, u95, verdict, settles, nA, nB } = pair;
  if (verdict !== "can't tell") {
    const better = c.quantity === "time_s" ? (difference < 0 ? c.b : c.a) : null;
    return better ? `Next: coach ${better}, and time both again another day.` : "";
  }
  if (settles === "not worth it")
    return "Next: choose by what else counts; the clock does not tell them apart by enough.";
  if (pair.scatter.value === null)
    return "Next: skate each technique at least twice, so that scatter is known.";
  if (u95.value === null) return "Next: time to more digits.";
  const band = c.smallestWorthwhile.value ?? 0;
  const size = Math.abs(difference);
  if (size - u95.value > band || size + u95.value < band)
    return "Next: skate both again in turns, beginning with the one that came later.";
  if (c.smallestWorthwhile.value === null || c.smallestWorthwhile.from !== "said")
    return "Next: say in Plan how much would matter; then the page says how many trials would tell.";
  const trials = Math.ceil((2 * (u95.value / band) ** 2) / (1 / nA + 1 / nB));
  const goal = sizeText(band, QUANTITY_WORDS[c.quantity].unit);
  if (trials <= Math.max(nA, nB)) return "Next: some more trials of each technique may settle it.";
  return trials > MOST_TRIALS
    ? `Next: to know it to ± ${goal}, what matters, would take some ${trials} trials of each technique; the answer for all on the first page tells more.`
    : `Next: ${countWord(trials)} trials of each technique in all would tell it to about ± ${goal}, what matters.`;
}
