/**
 * Student's t and chi-square, behind one file so that the library can be changed; R agrees to 1e-11
 * (tests/external/statistics*.test.ts). Kept apart from the others, because measuring needs these two only.
 */
import chiSquare from "@stdlib/stats-base-dists-chisquare-quantile";
import cdf from "@stdlib/stats-base-dists-t-cdf";
import quantile from "@stdlib/stats-base-dists-t-quantile";

/** Two-sided p of Student's t. */
export function twoSidedP(t: number, df: number): number {
  return 2 * cdf(-Math.abs(t), df);
}

/** One-sided p of Student's t: the chance of more than `t`. */
export function upperP(t: number, df: number): number {
  return cdf(-t, df);
}

/** The t that leaves 2.5 % above it. */
export function t975(df: number): number {
  return quantile(0.975, df);
}

/** The t that leaves a share of 1 - p above it. */
export function tQuantile(p: number, df: number): number {
  return quantile(p, df);
}

export function chiSquareQuantile(p: number, df: number): number {
  return chiSquare(p, df);
}
