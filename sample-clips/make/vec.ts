/** Three-vectors as plain tuples: lane frame, metres (x along the lane, y to the skater's left, z up). */
export type V = readonly [number, number, number];

export const add = (a: V, b: V): V => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const sub = (a: V, b: V): V => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const mul = (a: V, k: number): V => [a[0] * k, a[1] * k, a[2] * k];
export const dot = (a: V, b: V): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const length = (a: V): number => Math.hypot(a[0], a[1], a[2]);
export const unit = (a: V): V => mul(a, 1 / length(a));
export const mid = (a: V, b: V): V => mul(add(a, b), 0.5);
export const mix = (a: V, b: V, k: number): V => add(mul(a, 1 - k), mul(b, k));
export const cross = (a: V, b: V): V => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
/** The part of `a` at right angles to the unit vector `n`, made a unit vector. */
export const across = (a: V, n: V): V => unit(sub(a, mul(n, dot(a, n))));

/** 0 before `from`, 1 after `to`, smooth between. */
export function ease(from: number, to: number, x: number): number {
  const s = Math.min(1, Math.max(0, (x - from) / (to - from)));
  return s * s * (3 - 2 * s);
}

/** Cubic from (0, a) to (duration, b) with the given slopes at its ends. */
export function hermite(
  a: number,
  slopeA: number,
  b: number,
  slopeB: number,
  duration: number,
  t: number,
): number {
  const s = t / duration;
  const s2 = s * s;
  const s3 = s2 * s;
  return (
    (2 * s3 - 3 * s2 + 1) * a +
    (s3 - 2 * s2 + s) * slopeA * duration +
    (3 * s2 - 2 * s3) * b +
    (s3 - s2) * slopeB * duration
  );
}

/** Where `f` crosses zero between `from` and `to`; its signs there must differ. */
export function root(f: (x: number) => number, from: number, to: number): number {
  let [low, high] = [from, to];
  const lowIsNegative = f(low) < 0;
  if (lowIsNegative === f(high) < 0) throw new Error(`no sign change between ${from} and ${to}`);
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (f(middle) < 0 === lowIsNegative) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Where `f` is least between `from` and `to`, if it has one dip there (golden section). */
export function lowest(f: (x: number) => number, from: number, to: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  let [low, high] = [from, to];
  for (let i = 0; i < 60; i++) {
    const a = high - golden * (high - low);
    const b = low + golden * (high - low);
    if (f(a) < f(b)) high = b;
    else low = a;
  }
  return (low + high) / 2;
}

export const rounded = (x: number, digits: number): number => Number(x.toFixed(digits));
