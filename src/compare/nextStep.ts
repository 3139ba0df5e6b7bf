import { tooSmallToMatter } from "./headlineWords.ts";
import { countWord } from "./numbers.ts";
import type { Comparison } from "./types.ts";

/** What would tell more than another look at these numbers. */
export function nextStep(c: Comparison): string {
  if (c.conclusion === "nobody") return "";
  if (c.conclusion === "order")
    return "Next: skate it again with the order alternating, half of the skaters starting with each.";
  if (c.typicalError.value === null)
    return "Next: let everybody skate each technique at least twice, so that scatter is known.";
  if (c.n < 6) {
    const lacking = 6 - c.n;
    return `Next: ${countWord(lacking)} more ${lacking === 1 ? "skater" : "skaters"}; six can settle it.`;
  }
  if (c.conclusion === "depends")
    return "Next: choose for each skater by the verdicts below, and time those again.";
  if (c.conclusion === "settled" && tooSmallToMatter(c))
    return "Next: choose by what else counts; time does not tell them apart by enough.";
  if (c.conclusion === "settled") return "Next: coach it, and time it again another day.";
  if (c.conclusion === "alike") return "Next: choose by what else counts; time does not tell them apart.";
  return "Next: more trials of each technique and more skaters; Plan says how many.";
}
