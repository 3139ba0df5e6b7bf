import type { ErrorShape } from "./errorShape.ts";
import { type Calculation, type Result, type Uncertain, UncertainNode } from "./graph.ts";

export { type ErrorShape, factor95, K95 } from "./errorShape.ts";
export {
  type Calculation,
  condensed,
  contributions,
  covariance,
  itself,
  owed,
  type Spread,
  type Uncertain,
} from "./graph.ts";

const NONE: readonly never[] = [];

export function exactly(value: number): Uncertain {
  return new UncertainNode(value, null, NONE, NONE);
}

export function fromParts(value: number, sources: readonly number[], parts: readonly number[]): Uncertain {
  return new UncertainNode(value, { sources, parts, shapes: null }, NONE, NONE);
}

/** Hands out source numbers for one measurement. */
export class Sources {
  private next = 0;

  /** How many have been handed out. */
  get count(): number {
    return this.next;
  }

  /** A quantity with standard uncertainty `u` from a cause of its own. */
  add(value: number, u: number, shape: ErrorShape | null = null): Uncertain {
    if (u === 0) return exactly(value);
    const spread = { sources: [this.next++], parts: [u], shapes: shape && [shape] };
    return new UncertainNode(value, spread, NONE, NONE);
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
  const inputs = new Array<UncertainNode>(terms.length);
  const slopes = new Array<number>(terms.length);
  let value = 0;
  for (let k = 0; k < terms.length; k++) {
    const [weight, term] = terms[k]!;
    inputs[k] = term as UncertainNode;
    slopes[k] = weight;
    value += weight * term.value;
  }
  return new UncertainNode(value, null, inputs, slopes);
}

/**
 * A value known otherwise, with its first-order change for a change of each term.
 *
 * @param exact how the value really comes from the terms, for drawing errors; absent = in a straight line
 */
export function linearised(
  value: number,
  slopes: readonly (readonly [slope: number, term: Uncertain])[],
  exact?: Result,
): Uncertain {
  return new UncertainNode(
    value,
    null,
    slopes.map(([, term]) => term as UncertainNode),
    slopes.map(([slope]) => slope),
    exact ?? null,
  );
}

/** `linearised` with inputs and slopes in lists of their own, which are kept. */
export function linear(
  value: number,
  inputs: readonly Uncertain[],
  slopes: readonly number[],
  exact: Calculation | null = null,
  pick = 0,
): Uncertain {
  return new UncertainNode(
    value,
    null,
    inputs as readonly UncertainNode[],
    slopes,
    exact && { calculation: exact, pick },
  );
}

/** A calculation for `linearised`, its arguments in the order `run` takes them. */
export function calculation(run: Calculation["run"], inputs: readonly Uncertain[]): Calculation {
  return { run, inputs: inputs as readonly UncertainNode[] };
}

export function product(a: Uncertain, b: Uncertain): Uncertain {
  const inputs = [a, b];
  return linear(a.value * b.value, inputs, [b.value, a.value], calculation(times, inputs));
}

const times: Calculation["run"] = (values) => values[0]! * values[1]!;

/**
 * `f` of uncertain arguments, several results at once, differentiated by central differences.
 *
 * @param along `tangent` for smooth functions; `spread` for those with a kink or a root within reach of the errors:
 *   the root mean square of what one and two standard deviations either way change, with the sign of the secant
 */
export function derive(
  f: (...values: number[]) => readonly number[],
  args: readonly Uncertain[],
  along: "tangent" | "spread" = "tangent",
): Uncertain[] {
  return deriveList((values) => f(...values), args, along);
}

/**
 * A function of many arguments. It is given one list, the same each time, and must not keep it.
 *
 * @param moved which argument alone is not at its central value, -1 where none is; absent = any may be
 */
export type OfMany = (values: readonly number[], moved?: number) => readonly number[];

/** `derive` for a function of many arguments, which is told what has moved, so that it can keep the rest. */
export function deriveList(f: OfMany, args: readonly Uncertain[], along: "tangent" | "spread"): Uncertain[] {
  const inputs = args as readonly UncertainNode[];
  const at = inputs.map((input) => input.value);
  const results = f(at, -1);
  const slopes = results.map(() => new Array<number>(args.length).fill(0));
  const nears = new Array<Pair | undefined>(args.length);
  const moved = (k: number, by: number) => {
    const value = at[k]!;
    at[k] = value + by;
    const there = f(at, k);
    at[k] = value;
    return there;
  };
  for (let k = 0; k < inputs.length; k++) {
    if (inputs[k]!.isExact) continue;
    const { rough } = inputs[k]!;
    if (along === "tangent") {
      const h = SMALL_STEP * rough;
      const [above, below] = [moved(k, h), moved(k, -h)];
      for (let r = 0; r < results.length; r++) slopes[r]![k] = (above[r]! - below[r]!) / (2 * h);
      continue;
    }
    const { u } = inputs[k]!;
    if (u === 0) continue;
    nears[k] = [moved(k, u), moved(k, -u)];
  }
  if (along === "spread") spreadSlopes(inputs, results, nears, moved, slopes);
  const whole: Calculation = { run: f, inputs };
  return results.map(
    (value, r) => new UncertainNode(value, null, inputs, slopes[r]!, { calculation: whole, pick: r }),
  );
}

/** What comes out one standard deviation above and below. */
type Pair = readonly [readonly number[], readonly number[]];

/**
 * A cause below this share of every result's variance is taken as straight from one standard deviation to two: most of an
 * arm's forty causes are. What they bend there moves a ± by a hundredth at most (measured on twenty swings).
 */
const SMALL_SHARE = 0.0005;

function spreadSlopes(
  inputs: readonly UncertainNode[],
  results: readonly number[],
  nears: readonly (Pair | undefined)[],
  moved: (k: number, by: number) => readonly number[],
  slopes: readonly number[][],
): void {
  const square = (pair: Pair, r: number) =>
    (pair[0][r]! - results[r]!) ** 2 + (pair[1][r]! - results[r]!) ** 2;
  const small = results.map(
    (_, r) => SMALL_SHARE * nears.reduce((sum, p) => sum + (p ? square(p, r) : 0), 0),
  );
  nears.forEach((near, k) => {
    if (!near) return;
    const { u } = inputs[k]!;
    const isSmall = results.every((_, r) => square(near, r) > 0 && square(near, r) < small[r]!);
    const far: Pair | null = isSmall ? null : [moved(k, 2 * u), moved(k, -2 * u)];
    results.forEach((_, r) => {
      const own = square(near, r);
      const size = Math.sqrt((own + (far ? square(far, r) / 4 : own)) / 4) / u;
      // Where one standard deviation changes nothing, rounding must not choose the sign: two do.
      const rise = near[0][r]! - near[1][r]!;
      const secant = far && Math.abs(rise) <= NO_RISE * size * u ? far[0][r]! - far[1][r]! : rise;
      slopes[r]![k] = secant < 0 ? -size : size;
    });
  });
}

/** A difference this small beside what the argument changes is none. */
const NO_RISE = 1e-6;

/** Step of a derivative along the tangent, in (rough) standard uncertainties. */
const SMALL_STEP = 1e-3;

/** `derive` along the tangent for a function with one result. */
export function deriveOne(f: (...values: number[]) => number, args: readonly Uncertain[]): Uncertain {
  const inputs = args as readonly UncertainNode[];
  const at = inputs.map((input) => input.value);
  const slopes = new Array<number>(args.length).fill(0);
  for (let k = 0; k < inputs.length; k++) {
    const { value, isExact, rough } = inputs[k]!;
    if (isExact) continue;
    const h = SMALL_STEP * rough;
    at[k] = value + h;
    const above = f(...at);
    at[k] = value - h;
    slopes[k] = (above - f(...at)) / (2 * h);
    at[k] = value;
  }
  return new UncertainNode(f(...at), null, inputs, slopes, {
    calculation: { run: (drawn) => f(...drawn), inputs },
    pick: 0,
  });
}
