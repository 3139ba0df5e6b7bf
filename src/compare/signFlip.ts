/** More skaters than this are not enumerated: 2^20 sums a half is a second's work. */
export const MOST_SKATERS = 40;

/**
 * Exact two-sided sign-flip p: if the techniques made no difference, each skater's difference could as well
 * have had the other sign. The share of all 2^n sign patterns whose sum is at least as far from 0 as the one seen.
 *
 * Every pattern is counted. The skaters are split in two halves; all sums of each half are sorted, and walking
 * both lists from opposite ends counts the pairs beyond the sum seen, so that 40 skaters need 2 x 2^20 sums and not 2^40.
 * Sums that differ by less than 1e-9 of the largest count as equal: times are decimal, the sums are binary.
 *
 * @param differences one a skater, n = 1 … MOST_SKATERS; zeros stay in
 * @see Fisher (1935), The Design of Experiments, section 21
 */
export function signFlipP(differences: readonly number[]): number {
  const sizes = differences.map(Math.abs);
  const largest = sizes.reduce((sum, d) => sum + d, 0);
  const seen = Math.abs(differences.reduce((sum, d) => sum + d, 0));
  const bar = seen - 1e-9 * largest;
  if (bar <= 0) return 1;
  const middle = sizes.length >> 1;
  const low = signedSums(sizes.slice(0, middle));
  const high = signedSums(sizes.slice(middle));
  // By symmetry as many patterns lie at or below -bar as at or above bar.
  let above = 0;
  let k = high.length;
  for (const sum of low) {
    while (k > 0 && high[k - 1]! + sum >= bar) k--;
    above += high.length - k;
  }
  return (2 * above) / 2 ** sizes.length;
}

/** The smallest p that n skaters could give: all with the same sign, one pattern of 2^n on each side. */
export function smallestSignFlipP(n: number): number {
  return 2 / 2 ** n;
}

/** All 2^n sums of ±sizes, ascending. */
function signedSums(sizes: readonly number[]): Float64Array {
  let sums = new Float64Array([0]);
  for (const size of sizes) {
    const next = new Float64Array(2 * sums.length);
    next.set(sums.map((sum) => sum - size));
    next.set(
      sums.map((sum) => sum + size),
      sums.length,
    );
    sums = next;
  }
  return sums.sort();
}
