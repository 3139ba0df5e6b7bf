import { chiSquareQuantile } from "./distributions.ts";
import { logGamma, normalCdf } from "./normal.ts";

const LARGE_T = 1000;

/**
 * Noncentral t: P(T ≤ t) for T = (Z + ncp) / S, Z standard normal, S² chi-square over its df.
 *
 * P = E[Phi(t S - ncp)], integrated over u = ln S by the trapezoid rule. The integrand is smooth and dies away at
 * both ends, where that rule converges faster than any power of its step. No kept library has this distribution.
 *
 * @param df degrees of freedom, 1 or more
 * @see Johnson, Kotz & Balakrishnan (1995), Continuous Univariate Distributions 2, chapter 31: the definition
 * @see Trefethen & Weideman (2014), SIAM Review 56(3), 385-458: the trapezoid rule's convergence
 */
export function noncentralTCdf(t: number, df: number, ncp: number): number {
  return cdfOfNoncentrality(t, df)(ncp);
}

/** The same by noncentrality: what does not depend on it is worked out once. */
function cdfOfNoncentrality(t: number, df: number): (ncp: number) => number {
  const scale = Math.LN2 + (df / 2) * Math.log(df / 2) - logGamma(df / 2);
  // A third of the width of the narrower of both factors, and 0.08 for one or two degrees of freedom: within 1e-13 of the same sum
  // in steps of 0.001.
  const step = Math.min(0.08, 0.35 / Math.sqrt(2 * df + t * t));
  const densities: number[] = [];
  /** t S at each place. */
  const reached: number[] = [];
  const put = (u: number): number => {
    const density = Math.exp(scale + df * u - (df / 2) * Math.exp(2 * u));
    densities.push(density);
    reached.push(t * Math.exp(u));
    return density;
  };
  put(0);
  for (const way of [step, -step]) {
    // Not the other way round: what is no number would never end it.
    for (let u = way; put(u) >= 1e-18; u += way);
  }
  return (ncp) => {
    let sum = 0;
    for (let k = 0; k < densities.length; k++) sum += densities[k]! * normalCdf(reached[k]! - ncp);
    return Math.min(1, sum * step);
  };
}

/**
 * The noncentrality under which `t` is the p-quantile: the end of an exact interval of an effect size.
 * The cdf falls steadily with the noncentrality, so false position with Illinois steps closes in from both sides.
 * Beyond |t| of 1,000 (differences that hardly scatter) the normal part no longer counts: T is ncp / S, to four digits.
 */
export function noncentralityAt(t: number, df: number, p: number): number {
  if (Math.abs(t) > LARGE_T) {
    return t * Math.sqrt(chiSquareQuantile(t > 0 ? 1 - p : p, df) / df);
  }
  const cdf = cdfOfNoncentrality(t, df);
  const off = (ncp: number) => cdf(ncp) - p;
  const reach = 10 + Math.abs(t) * (1 + 10 / Math.sqrt(df));
  let [low, high] = [t - reach, t + reach];
  let [atLow, atHigh] = [off(low), off(high)];
  let last = 0;
  for (let i = 0; i < 200 && high - low > 1e-12 * Math.max(1, Math.abs(t)); i++) {
    // Far out the cdf is flat, where false position crawls: halve first.
    const next = i < 6 ? (low + high) / 2 : (low * atHigh - high * atLow) / (atHigh - atLow);
    const at = off(next);
    if (Math.abs(at) < 1e-15) return next;
    if (at > 0) {
      [low, atLow] = [next, at];
      if (last > 0) atHigh /= 2;
    } else {
      [high, atHigh] = [next, at];
      if (last < 0) atLow /= 2;
    }
    last = at;
  }
  return (low + high) / 2;
}
