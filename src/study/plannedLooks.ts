/**
 * What looking several times by plan costs, with the exact sign-flip test over skaters. Each look's p is exact, so where each
 * may count only its share of 5 % all together are wrong in 5 % of studies at most, whatever they see of each other
 * (Bonferroni's inequality). With n skaters no p is smaller than 2 / 2^n.
 *
 * @param looks planned beforehand, the last one included, 1 or more
 * @returns the largest p that counts in a look, and the fewest skaters that can reach it
 * @see Fisher (1935), The Design of Experiments, section 21: the test
 */
export function plannedLooks(looks: number): { readonly p: number; readonly skaters: number } {
  const p = 0.05 / looks;
  return { p, skaters: Math.ceil(1 - Math.log2(p) - 1e-12) };
}
