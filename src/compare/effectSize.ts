import { noncentralityAt } from "../statistics/noncentralT.ts";
import { smallSampleCorrection } from "./smallSample.ts";
import type { Comparison } from "./types.ts";

/**
 * Mean difference in SDs of the skaters' differences, d_z, and the same corrected for few skaters, g_z = J d_z.
 * The intervals are exact where differences are normally spread: t is noncentral t with noncentrality sqrt(n) d_z.
 * Both ends of g_z are J times those of d_z.
 *
 * @param t paired t of n skaters, n at least 2
 * @see Steiger & Fouladi (1997), in What if there were no significance tests?: the interval by inversion
 * @see Hedges (1981), J Educ Stat 6(2), 107-128: J
 */
export function effectSizes(t: number, n: number): Pick<Comparison, "dZ" | "gZ"> {
  const df = n - 1;
  const root = Math.sqrt(n);
  const [low, high] = [noncentralityAt(t, df, 0.975) / root, noncentralityAt(t, df, 0.025) / root];
  const correction = smallSampleCorrection(df);
  const dZ = { value: t / root, ci95: [low, high] as const };
  if (correction === null) {
    return { dZ, gZ: { value: null, why: "The small-sample correction needs three skaters." } };
  }
  return { dZ, gZ: { value: correction * dZ.value, ci95: [correction * low, correction * high] } };
}
