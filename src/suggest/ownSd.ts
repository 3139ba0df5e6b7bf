import { t975 } from "../statistics/distributions.ts";

/** Fewer independent differences than this tell nothing of a spread. */
const FEWEST = 4;

/**
 * SD of what suggestions miss by, from differences seen on this clip: root mean square, wider for being learned from few
 * (Student's t over the normal).
 *
 * @param freedom how many of the differences are independent: two lessons held against each other give one, twice
 * @returns null where too few have been seen
 */
export function ownSd(differences: readonly number[], freedom: number): number | null {
  if (freedom < FEWEST) return null;
  const square = differences.reduce((sum, d) => sum + d * d, 0) / differences.length;
  return Math.sqrt(square) * (t975(freedom) / 1.96);
}
