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
  /** Numbers of the sources it depends on, each once, in no particular order. */
  readonly sources: readonly number[];
  /** Change of `value` for plus one standard deviation of each of these sources. */
  readonly parts: readonly number[];
}

/** Half-width of a 95 % interval in standard deviations of a normal distribution. */
export const K95 = 1.959963984540054;

export function exactly(value: number): Uncertain {
  return { value, u: 0, sources: [], parts: [] };
}

export function fromParts(value: number, sources: readonly number[], parts: readonly number[]): Uncertain {
  let sum = 0;
  for (const part of parts) sum += part * part;
  return { value, u: Math.sqrt(sum), sources, parts };
}

/** Adds up contributions by source. One is reused for all sums: they are many, short, and never nested. */
class Accumulator {
  private sums = new Float64Array(1024);
  private held = new Uint8Array(1024);
  private sources: number[] = [];

  add(weight: number, term: Uncertain): void {
    for (let k = 0; k < term.sources.length; k++) {
      const source = term.sources[k]!;
      if (source >= this.sums.length) this.grow(source);
      if (this.held[source] === 0) {
        this.held[source] = 1;
        this.sources.push(source);
      }
      this.sums[source]! += weight * term.parts[k]!;
    }
  }

  take(value: number): Uncertain {
    const { sources, sums, held } = this;
    const parts = sources.map((source) => sums[source]!);
    for (const source of sources) {
      sums[source] = 0;
      held[source] = 0;
    }
    this.sources = [];
    return fromParts(value, sources, parts);
  }

  private grow(source: number): void {
    const size = 2 * source;
    const sums = new Float64Array(size);
    const held = new Uint8Array(size);
    sums.set(this.sums);
    held.set(this.held);
    this.sums = sums;
    this.held = held;
  }
}

const accumulator = new Accumulator();

/** Hands out source numbers for one measurement. */
export class Sources {
  private next = 0;

  /** A quantity with standard uncertainty `u` from a cause of its own. */
  add(value: number, u: number): Uncertain {
    if (u === 0) return exactly(value);
    return { value, u, sources: [this.next++], parts: [u] };
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
  for (const [weight, term] of terms) {
    value += weight * term.value;
    accumulator.add(weight, term);
  }
  return accumulator.take(value);
}

/** A value known otherwise, with its first-order change for a change of each term. */
export function linearised(
  value: number,
  slopes: readonly (readonly [slope: number, term: Uncertain])[],
): Uncertain {
  for (const [slope, term] of slopes) accumulator.add(slope, term);
  return accumulator.take(value);
}

export function covariance(a: Uncertain, b: Uncertain): number {
  const parts = new Map(a.sources.map((source, k) => [source, a.parts[k]!]));
  return b.sources.reduce((sum, source, k) => sum + b.parts[k]! * (parts.get(source) ?? 0), 0);
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
  const slopes = args.map((arg, k) => {
    if (arg.u === 0) return null;
    const h = step * arg.u;
    const moved = at.slice();
    moved[k] = arg.value + h;
    const above = f(...moved);
    moved[k] = arg.value - h;
    const below = f(...moved);
    return results.map((_, r) => (above[r]! - below[r]!) / (2 * h));
  });
  return results.map((value, r) => {
    args.forEach((arg, k) => {
      const slope = slopes[k]?.[r] ?? 0;
      if (slope !== 0) accumulator.add(slope, arg);
    });
    return accumulator.take(value);
  });
}

/** `derive` for a function with one result. */
export function deriveOne(
  f: (...values: number[]) => number,
  args: readonly Uncertain[],
  step?: number,
): Uncertain {
  return derive((...values) => [f(...values)], args, step)[0]!;
}
