/** Student's t, behind one file so that the library can be changed. Agrees with R to 1e-12 (tests/external/statistics.test.ts). */
import cdf from "@stdlib/stats-base-dists-t-cdf";
import quantile from "@stdlib/stats-base-dists-t-quantile";

/** Two-sided p of Student's t. */
export function twoSidedP(t: number, df: number): number {
  return 2 * cdf(-Math.abs(t), df);
}

/** The t that leaves 2.5 % above it. */
export function t975(df: number): number {
  return quantile(0.975, df);
}
