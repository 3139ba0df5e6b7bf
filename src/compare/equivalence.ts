import type { OrWhy } from "../reading.ts";
import { tQuantile, upperP } from "../statistics/distributions.ts";
import type { Comparison, Equivalence } from "./types.ts";

/**
 * Two one-sided tests: are the techniques alike, nearer to each other than what is worth it? They are at the 5 %
 * level when both p are below it, which is when the 90 % interval lies wholly within the bounds.
 *
 * @param bound worthwhile difference, more than 0, in the quantity's unit
 * @see Schuirmann (1987), J Pharmacokinet Biopharm 15, 657-680
 */
export function equivalence(
  c: Pick<Comparison, "n" | "meanDifference" | "sd" | "df" | "t">,
  worthwhile: Comparison["smallestWorthwhile"],
): OrWhy<Equivalence> {
  if (worthwhile.value === null) return worthwhile;
  if (c.t.value === null) return c.t;
  if (c.meanDifference.value === null) return c.meanDifference;
  if (c.df.value === null || c.sd.value === null || !(worthwhile.value > 0)) {
    return { value: null, why: "The worthwhile difference is 0, so nothing could be too small." };
  }
  const [mean, df, bound] = [c.meanDifference.value, c.df.value, worthwhile.value];
  const error = c.sd.value / Math.sqrt(c.n);
  const pLow = upperP((mean + bound) / error, df);
  const pHigh = upperP((bound - mean) / error, df);
  const reach = tQuantile(0.95, df) * error;
  return {
    value: Math.max(pLow, pHigh),
    pLow,
    pHigh,
    ci90: [mean - reach, mean + reach],
    bound,
  };
}
