/**
 * Statistics worked out the plain way, with nothing of `src`: to hold sentences of the report against. Slow and simple
 * on purpose.
 */

/** Simpson's rule: of 400 steps its share errs by less than 1e-6 up to 400 degrees of freedom. */
function simpson(of: (x: number) => number, from: number, to: number): number {
  const steps = 400;
  let sum = 0;
  for (let k = 0; k <= steps; k++) {
    const weight = k === 0 || k === steps ? 1 : k % 2 === 1 ? 4 : 2;
    sum += weight * of(from + ((to - from) * k) / steps);
  }
  return (sum * (to - from)) / steps / 3;
}

/** Share of Student's t between -|t| and |t|: with x = √df tan θ the density is cos^(df-1) θ. */
function central(t: number, df: number): number {
  const area = (to: number) => simpson((x) => Math.cos(x) ** (df - 1), 0, to);
  return area(Math.atan(Math.abs(t) / Math.sqrt(df))) / area(Math.PI / 2);
}

export function twoSided(t: number, df: number): number {
  return 1 - central(t, df);
}

const quantiles = new Map<number, number>();

/** 97.5 % quantile of Student's t, by halving. */
export function t975(df: number): number {
  return tShared(df, 1);
}

/** The same where so many share the 5 %. */
export function tShared(df: number, sharing: number): number {
  const key = df + sharing / 1000;
  let found = quantiles.get(key);
  if (found === undefined) {
    let [low, high] = [1.9, 1000];
    for (let k = 0; k < 60; k++) {
      const middle = (low + high) / 2;
      if (central(middle, df) < 1 - 0.05 / sharing) low = middle;
      else high = middle;
    }
    found = (low + high) / 2;
    quantiles.set(key, found);
  }
  return found;
}

/** Chance of more than f under F: with x = sin² θ the beta density is sin^(df1 - 1) θ cos^(df2 - 1) θ. */
export function upperF(f: number, df1: number, df2: number): number {
  if (f <= 0) return 1;
  const area = (from: number) =>
    simpson((x) => Math.sin(x) ** (df1 - 1) * Math.max(0, Math.cos(x)) ** (df2 - 1), from, Math.PI / 2);
  return area(Math.atan(Math.sqrt((f * df1) / df2))) / area(0);
}

export function average(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}

/** Sum of squares around the mean. */
export function squares(values: readonly number[]): number {
  const middle = average(values);
  return values.reduce((sum, v) => sum + (v - middle) ** 2, 0);
}

export function deviation(values: readonly number[]): number {
  return Math.sqrt(squares(values) / (values.length - 1));
}

/** Share of all 2^n ways to flip signs whose sum is at least as far from 0; whole numbers, so that ties are ties. */
export function signFlip(differences: readonly number[], unit: number): number {
  const whole = differences.map((d) => Math.round(d / unit));
  const seen = Math.abs(whole.reduce((sum, d) => sum + d, 0));
  const ways = 2 ** whole.length;
  let far = 0;
  for (let way = 0; way < ways; way++) {
    let sum = 0;
    for (let k = 0; k < whole.length; k++) sum += way & (1 << k) ? -whole[k]! : whole[k]!;
    if (Math.abs(sum) >= seen) far += 1;
  }
  return far / ways;
}
