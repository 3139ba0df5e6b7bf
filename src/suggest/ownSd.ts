import { t975 } from "../statistics/distributions.ts";

/** Fewer differences than this tell nothing of a spread. */
const FEWEST = 4;

/**
 * SD of what suggestions miss by, from differences seen on this clip: root mean square, wider for being learned from few
 * (Student's t over the normal).
 *
 * @returns null where too few have been seen
 */
export function ownSd(differences: readonly number[]): number | null {
  const n = differences.length;
  if (n < FEWEST) return null;
  const square = differences.reduce((sum, d) => sum + d * d, 0) / n;
  return Math.sqrt(square) * (t975(n) / 1.96);
}
