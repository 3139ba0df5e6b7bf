/**
 * Numbers that know where their uncertainty comes from (linear propagation, JCGM 100:2008 clause 5).
 *
 * Every independent cause of error is one source with a running number. An `Uncertain` holds its value and,
 * for each source, the signed change of the value when that source moves by one of its own standard
 * deviations. Two results that share a mark share its source, so their correlation is carried without
 * anybody having to think of it.
 */
export interface Uncertain {
  readonly value: number;
  /** Standard uncertainty, in the unit of `value`. */
  readonly u: number;
  /** Source number → change of `value` for plus one standard deviation of that source. */
  readonly parts: ReadonlyMap<number, number>;
}

/** Half-width of a 95 % interval in standard deviations of a normal distribution. */
export const K95 = 1.959963984540054;

const NO_PARTS: ReadonlyMap<number, number> = new Map();

export function exactly(value: number): Uncertain {
  return { value, u: 0, parts: NO_PARTS };
}

export function fromParts(value: number, parts: ReadonlyMap<number, number>): Uncertain {
  let sum = 0;
  for (const part of parts.values()) sum += part * part;
  return { value, u: Math.sqrt(sum), parts };
}

/** Hands out source numbers for one measurement. */
export class Sources {
  private next = 0;

  /** A quantity with standard uncertainty `u` from a cause of its own. */
  add(value: number, u: number): Uncertain {
    if (u === 0) return exactly(value);
    return { value, u, parts: new Map([[this.next++, u]]) };
  }

  /** Reserves `count` numbers and returns the first: for a fit whose parameters share `count` causes. */
  reserve(count: number): number {
    const first = this.next;
    this.next += count;
    return first;
  }
}

/** Weighted sum; exact, also in its uncertainty. */
export function weightedSum(terms: readonly (readonly [weight: number, term: Uncertain])[]): Uncertain {
  let value = 0;
  const parts = new Map<number, number>();
  for (const [weight, term] of terms) {
    value += weight * term.value;
    for (const [source, part] of term.parts) parts.set(source, (parts.get(source) ?? 0) + weight * part);
  }
  return fromParts(value, parts);
}

export function covariance(a: Uncertain, b: Uncertain): number {
  const [small, large] = a.parts.size < b.parts.size ? [a, b] : [b, a];
  let sum = 0;
  for (const [source, part] of small.parts) sum += part * (large.parts.get(source) ?? 0);
  return sum;
}

/**
 * `f` of uncertain arguments, several results at once, differentiated by central differences.
 *
 * @param step step of each argument in its own standard uncertainties. The default follows the tangent;
 *   1 follows the secant over ± one standard deviation, for functions with a kink or a root inside it.
 */
export function derive(
  f: (...values: number[]) => readonly number[],
  args: readonly Uncertain[],
  step = 1e-3,
): Uncertain[] {
  const at = args.map((arg) => arg.value);
  const results = f(...at);
  const parts = results.map(() => new Map<number, number>());
  args.forEach((arg, k) => {
    if (arg.u === 0) return;
    const h = step * arg.u;
    const moved = at.slice();
    moved[k] = arg.value + h;
    const above = f(...moved);
    moved[k] = arg.value - h;
    const below = f(...moved);
    for (let r = 0; r < parts.length; r++) {
      const slope = (above[r]! - below[r]!) / (2 * h);
      if (slope === 0) continue;
      const sum = parts[r]!;
      for (const [source, part] of arg.parts) sum.set(source, (sum.get(source) ?? 0) + slope * part);
    }
  });
  return results.map((value, r) => fromParts(value, parts[r]!));
}

/** `derive` for a function with one result. */
export function deriveOne(
  f: (...values: number[]) => number,
  args: readonly Uncertain[],
  step?: number,
): Uncertain {
  return derive((...values) => [f(...values)], args, step)[0]!;
}
