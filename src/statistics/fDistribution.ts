import fCdf from "@stdlib/stats-base-dists-f-cdf";
import quantile from "@stdlib/stats-base-dists-f-quantile";

/** Chance of more than `f` under the F distribution. */
export function upperF(f: number, df1: number, df2: number): number {
  return f <= 0 ? 1 : fCdf(1 / f, df2, df1);
}

export function fQuantile(p: number, df1: number, df2: number): number {
  return quantile(p, df1, df2);
}
