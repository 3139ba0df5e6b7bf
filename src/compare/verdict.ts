import type { CompareQuantity } from "../quantities/compared.ts";
import { t975 } from "../statistics/distributions.ts";
import type { Comparison, Pair, Verdict } from "./types.ts";

/**
 * One skater's own difference against what a trial scatters (typical error) and what is worth it.
 *
 * The 95 % interval is ± t(df of the typical error) x typical error x sqrt(1/nA + 1/nB). A verdict is given only
 * when the whole interval lies beyond the worthwhile band; without a band, beyond 0.
 */
export function judgePair(
  means: Pick<Pair, "skater" | "a" | "b" | "nA" | "nB">,
  quantity: CompareQuantity,
  error: Comparison["typicalError"],
  worth: Comparison["smallestWorthwhile"],
): Pair {
  const difference = means.b - means.a;
  if (error.value === null) {
    const why = "without repeats nobody knows how much one trial scatters";
    return {
      ...means,
      difference,
      u95: error,
      u95A: error,
      u95B: error,
      verdict: "can't tell",
      settles: "open",
      why,
    };
  }
  const one = t975(error.df) * error.value;
  const u95 = one * Math.sqrt(1 / means.nA + 1 / means.nB);
  const ofMeans = { u95A: { value: one / Math.sqrt(means.nA) }, u95B: { value: one / Math.sqrt(means.nB) } };
  const band = worth.value ?? 0;
  const given = { ...means, difference, u95: { value: u95 }, ...ofMeans };
  // No scatter at all between repeats says that the clock is too coarse, not that the difference is exact.
  if (u95 === 0) {
    const why = "the repeats are all exactly alike, so their scatter can't be judged; time to more digits";
    return { ...given, verdict: "can't tell", settles: "open", why };
  }
  if (difference - u95 > band)
    return { ...given, verdict: word(quantity, 1), settles: "worth it", why: beyond(worth) };
  if (difference + u95 < -band)
    return { ...given, verdict: word(quantity, -1), settles: "worth it", why: beyond(worth) };
  if (worth.value !== null && Math.abs(difference) + u95 < band) {
    return {
      ...given,
      verdict: "can't tell",
      settles: "not worth it",
      why: "any difference is too small to be worth it",
    };
  }
  const zero = Math.abs(difference) <= u95;
  const why = zero
    ? "the difference is within the scatter of this many trials"
    : "there is a difference, but it may be too small to be worth it";
  return { ...given, verdict: "can't tell", settles: "open", why };
}

function beyond(worth: Comparison["smallestWorthwhile"]): string {
  return worth.value === null
    ? "the whole interval is on one side of zero; what is worth it is not known"
    : "the whole interval is beyond what is too small to be worth it";
}

function word(quantity: CompareQuantity, sign: 1 | -1): Verdict {
  if (quantity === "time_s") return sign < 0 ? "faster" : "slower";
  return sign < 0 ? "less" : "more";
}
