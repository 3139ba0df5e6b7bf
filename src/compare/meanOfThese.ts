import type { OrWhy } from "../reading.ts";
import { t975 } from "../statistics/distributions.ts";
import { differenceVariance } from "./trialVariance.ts";
import type { Comparison, Pair } from "./types.ts";

export const REPEATS_ALIKE =
  "The repeats are all exactly alike, so their scatter can't be judged; time to more digits.";

/**
 * How well the mean difference of these skaters is known, whatever others would do: from how well each repeats. An
 * interval over skaters in general can't be narrower in truth, for it rests on the same trials.
 *
 * @param pairs usable trials of each skater with a and b
 */
export function meanOfThese(
  pairs: readonly Pick<Pair, "a" | "b" | "trialsA" | "trialsB">[],
  error: Comparison["typicalError"],
): OrWhy<{ readonly value: number; readonly u95: number }> {
  if (pairs.length === 0) return { value: null, why: "No skater has a usable value with both techniques." };
  if (error.value === null) return error;
  if (error.value === 0) {
    return {
      value: null,
      why: REPEATS_ALIKE,
    };
  }
  const n = pairs.length;
  const scatter = { value: error.value, clips: error.clips ?? 0 };
  const variance = pairs.reduce((sum, p) => sum + differenceVariance(scatter, p), 0);
  return {
    value: pairs.reduce((sum, p) => sum + p.b - p.a, 0) / n,
    u95: (t975(error.df) * Math.sqrt(variance)) / n,
  };
}
