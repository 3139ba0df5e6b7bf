/**
 * Correction of a standardised mean difference for few people: J(v) = G(v/2) / (sqrt(v/2) G((v-1)/2)).
 *
 * Exact for whole v, from G(x+1) = x G(x): the ratio R(v) = G(v/2) / G((v-1)/2) has R(2) = 1/sqrt(pi) and
 * R(v+1) = (v-1) / 2 / R(v). Null for v < 2, where it does not exist.
 *
 * @param v degrees of freedom
 * @see Hedges (1981), J Educ Stat 6(2), 107-128
 */
export function smallSampleCorrection(v: number): number | null {
  if (v < 2) return null;
  let ratio = 1 / Math.sqrt(Math.PI);
  for (let k = 2; k < v; k++) ratio = (k - 1) / 2 / ratio;
  return ratio / Math.sqrt(v / 2);
}
