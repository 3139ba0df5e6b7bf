import lnGamma from "@stdlib/math-base-special-gammaln";
import phi from "@stdlib/stats-base-dists-normal-cdf";

/** Chance that a standard normal number is at most z. */
export function normalCdf(z: number): number {
  return phi(z, 0, 1);
}

/** ln G(x), x > 0. */
export function logGamma(x: number): number {
  return lnGamma(x);
}
