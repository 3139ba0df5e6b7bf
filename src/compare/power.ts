import { tQuantile } from "../statistics/distributions.ts";
import { noncentralTCdf } from "../statistics/noncentralT.ts";
import { smallestSignFlipP } from "./signFlip.ts";

/** Two-sided level of every test and 95 % interval here. */
const ALPHA = 0.05;

/**
 * How often a paired t test of n skaters finds an effect, both tails counted.
 *
 * @param n skaters, 2 or more; need not be whole
 * @param dZ true mean difference in SDs of the skaters' differences
 * @see Cohen (1988), Statistical Power Analysis for the Behavioral Sciences, chapter 2
 */
export function pairedPower(n: number, dZ: number): number {
  const df = n - 1;
  const bar = tQuantile(1 - ALPHA / 2, df);
  const ncp = Math.sqrt(n) * Math.abs(dZ);
  return 1 - noncentralTCdf(bar, df, ncp) + noncentralTCdf(-bar, df, ncp);
}

/** Fewest skaters a sign-flip test can settle anything with: 2 / 2^6 is the first below 0.05. */
export const FEWEST_SKATERS = [2, 3, 4, 5, 6, 7].find((n) => smallestSignFlipP(n) <= ALPHA)!;

/** More skaters than this are not worth counting on a bench. */
export const MOST_PLANNED = 1000;

/** The n, not rounded, at which the power is reached; null beyond MOST_PLANNED. */
export function pairsForPower(dZ: number, power: number): number | null {
  if (!(Math.abs(dZ) > 0) || pairedPower(MOST_PLANNED, dZ) < power) return null;
  let [low, high] = [2, MOST_PLANNED];
  if (pairedPower(low, dZ) >= power) return low;
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    if (pairedPower(middle, dZ) < power) low = middle;
    else high = middle;
  }
  return high;
}
