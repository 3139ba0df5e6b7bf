import { condensed, owed, type Spread, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";

/**
 * What of a difference is left beside those before it, as a share of its standard deviation: less is the same said again, and
 * where lines are not quite straight it would be told by what they bend.
 */
const NOTHING_NEW = 0.01;

/** One independent thing that the differences tell: a number that is 0, of standard deviation 1. */
interface Direction {
  readonly node: Uncertain;
  /** What it owes to each source, by number. */
  readonly parts: Float64Array;
}

/**
 * What is known once certain numbers are known to be 0, because they are differences of two ways to the same thing.
 *
 * Best linear unbiased estimation: of all ways to correct a value by the differences the one that leaves it surest, its
 * covariance with them over theirs. What both ways share (beliefs, a camera, an event's time) is in the values' own causes
 * and so counted once. The differences are made independent one after the other (Gram and Schmidt), so that one that
 * follows from the others changes nothing.
 *
 * @see Rao (1973), Linear Statistical Inference and Its Applications, 4a (from memory): conditioning of normal variables
 */
export class Conditioning {
  private readonly directions: Direction[] = [];

  constructor(differences: readonly Uncertain[] = []) {
    for (const difference of differences) this.add(difference);
  }

  /** How many independent things are known. */
  get count(): number {
    return this.directions.length;
  }

  /** One more number that is 0. */
  add(difference: Uncertain): void {
    // Twice, so that rounding does not add up.
    const rest = this.applied(this.applied(difference));
    const { u } = rest;
    if (!(u > NOTHING_NEW * difference.u)) return;
    const node = condensed(weightedSum([[1 / u, rest]]), false);
    this.directions.push({ node, parts: bySource(owed(node)) });
  }

  /** A value as it is, all that is known counted in. */
  applied(value: Uncertain): Uncertain {
    const own = owed(value);
    const terms: (readonly [number, Uncertain])[] = [[1, value]];
    for (const { node, parts } of this.directions) {
      const shared = inner(own, parts);
      if (shared !== 0) terms.push([-shared, node]);
    }
    return terms.length === 1 ? value : condensed(weightedSum(terms), false);
  }
}

function bySource({ sources, parts }: Spread): Float64Array {
  let last = -1;
  for (const source of sources) last = Math.max(last, source);
  const row = new Float64Array(last + 1);
  for (let k = 0; k < sources.length; k++) row[sources[k]!] = parts[k]!;
  return row;
}

function inner({ sources, parts }: Spread, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < sources.length; k++) {
    const source = sources[k]!;
    if (source < b.length) sum += parts[k]! * b[source]!;
  }
  return sum;
}

/**
 * How improbable some differences are together, as chi-square: the sum of squares of their independent parts.
 *
 * @returns its value and degrees of freedom
 */
export function misfit(differences: readonly Uncertain[]): { readonly square: number; readonly df: number } {
  const known = new Conditioning();
  let square = 0;
  for (const difference of differences) {
    const rest = known.applied(difference);
    const { u } = rest;
    if (u > NOTHING_NEW * difference.u) square += (rest.value / u) ** 2;
    known.add(difference);
  }
  return { square, df: known.count };
}

/** Covariance of each with each. */
export function covariances(values: readonly Uncertain[]): number[][] {
  const parts = values.map(owed);
  const rows = parts.map(bySource);
  return parts.map((own) => rows.map((row) => inner(own, row)));
}
