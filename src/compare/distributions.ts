/** Distributions, behind one file so that the library can be changed. Agree with R to 1e-11 (tests/external/statistics*.test.ts). */

import lnGamma from "@stdlib/math-base-special-gammaln";
import chiSquare from "@stdlib/stats-base-dists-chisquare-quantile";
import fCdf from "@stdlib/stats-base-dists-f-cdf";
import fQuantileOf from "@stdlib/stats-base-dists-f-quantile";
import phi from "@stdlib/stats-base-dists-normal-cdf";
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

/** Chance of more than `f` under the F distribution. */
export function upperF(f: number, df1: number, df2: number): number {
  return f <= 0 ? 1 : fCdf(1 / f, df2, df1);
}

export function fQuantile(p: number, df1: number, df2: number): number {
  return fQuantileOf(p, df1, df2);
}

export function chiSquareQuantile(p: number, df: number): number {
  return chiSquare(p, df);
}

/** Chance that a standard normal number is at most z. */
export function normalCdf(z: number): number {
  return phi(z, 0, 1);
}

/** ln G(x), x > 0. */
export function logGamma(x: number): number {
  return lnGamma(x);
}
