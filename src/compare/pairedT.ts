import { t975, twoSidedP } from "../statistics/distributions.ts";
import { mean, standardDeviation } from "../statistics/mean.ts";

export interface PairedT {
  readonly mean: number;
  readonly sd: number;
  readonly df: number;
  readonly t: number;
  readonly p: number;
  readonly ci95: readonly [low: number, high: number];
}

/**
 * Student's paired t of the differences of two or more skaters; null where they do not scatter.
 *
 * @param size largest value compared: a scatter below 1e-9 of it is binary rounding of decimal times
 */
export function pairedT(differences: readonly number[], size: number): PairedT | null {
  const [centre, sd] = [mean(differences), standardDeviation(differences)];
  if (!(sd > 1e-9 * size)) return null;
  const df = differences.length - 1;
  const standardError = sd / Math.sqrt(differences.length);
  const t = centre / standardError;
  const reach = t975(df) * standardError;
  return { mean: centre, sd, df, t, p: twoSidedP(t, df), ci95: [centre - reach, centre + reach] };
}
