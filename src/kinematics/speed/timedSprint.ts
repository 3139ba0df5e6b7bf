import type { GateSprint } from "../types.ts";

/** When a sprint with top speed 1 has come so far: t − τ (1 − exp(−t/τ)) = way. By Newton from above: it is convex. */
function timeOf(way: number, tau: number): number {
  let t = way + tau;
  for (let k = 0; k < 12; k++) {
    const rest = Math.exp(-t / tau);
    const slope = 1 - rest;
    if (!(slope > 0)) return 0;
    const step = (t - tau * slope - way) / slope;
    t -= step;
    if (step < 1e-9) break;
  }
  return Math.max(0, t);
}

/**
 * Speed at a place, m/s, of the sprint from rest with this time constant that takes this long between the gates.
 *
 * @param rest where it begins, metres from the start line
 * @see sprintCurve for v = vmax (1 − exp(−t/τ))
 */
export function sprintOf(
  { seconds, gates: [first, last] }: Pick<GateSprint, "seconds" | "gates">,
  tau: number,
  rest = 0,
): (x: number) => number {
  const steady = (last - first) / seconds;
  const passing = (top: number, place: number) => timeOf(Math.max(0, place - rest) / top, tau);
  const top = rootOf((v) => seconds - (passing(v, last) - passing(v, first)), steady / 2, 10 * steady);
  return (x) => top * (1 - Math.exp(-passing(top, x) / tau));
}

/** Where a growing function is 0, by halving. */
function rootOf(f: (v: number) => number, from: number, to: number): number {
  let [low, high] = [from, to];
  for (let k = 0; k < 40; k++) {
    const middle = (low + high) / 2;
    if (f(middle) < 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
