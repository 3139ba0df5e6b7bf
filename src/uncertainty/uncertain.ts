/**
 * Numbers that know where their uncertainty comes from (linear propagation, JCGM 100:2008 clause 5), and how
 * they were worked out, so that the same calculation can be done again with drawn errors (`monteCarlo.ts`).
 *
 * Every independent cause of error is one source with a running number. Two results that share a mark share
 * its source, so their correlation is carried without anybody having to think of it. Calculations are
 * remembered as a graph; the uncertainty of a result is found when it is asked for, by going back through
 * what it was made of once.
 */
export interface Uncertain {
  readonly value: number;
  /** Standard uncertainty, in the unit of `value`. */
  readonly u: number;
  /** Half-width of the 95 % interval; not 1.96 u where errors that are not normal matter. */
  readonly u95: number;
}

/** Half-width of a 95 % interval in standard deviations of a normal distribution. */
export const K95 = 1.959963984540054;

/** A calculation that gives one or several results from arguments, done as one. */
export interface Calculation {
  /** A single number where there is one result only. */
  readonly run: (...values: number[]) => readonly number[] | number;
  readonly inputs: readonly UncertainNode[];
}

/** What an `Uncertain` is made of: causes of its own, and other uncertain numbers with first-order slopes. */
export class UncertainNode implements Uncertain {
  readonly value: number;
  readonly sources: readonly number[];
  /** Change of the value for plus one standard deviation of each of its own sources. */
  readonly parts: readonly number[];
  readonly inputs: readonly UncertainNode[];
  readonly slopes: readonly number[];
  /** Where the result is not linear in its inputs: the calculation, and which of its results this is. */
  readonly calculation: Calculation | null;
  readonly pick: number;
  /** How its own source errs, where that is not normal. */
  readonly shape: ErrorShape | null;
  /** About `u`, cheaply: as if no two inputs shared a source. Good enough for the step of a derivative. */
  readonly rough: number;
  /** Working place of `sweep`. */
  adjoint = 0;
  visit = 0;
  private known = -1;
  private factor = K95;

  constructor(
    value: number,
    sources: readonly number[],
    parts: readonly number[],
    inputs: readonly UncertainNode[],
    slopes: readonly number[],
    calculation: Calculation | null = null,
    pick = 0,
    shape: ErrorShape | null = null,
  ) {
    this.value = value;
    this.sources = sources;
    this.parts = parts;
    this.inputs = inputs;
    this.slopes = slopes;
    this.calculation = calculation;
    this.pick = pick;
    this.shape = shape;
    let square = 0;
    for (let k = 0; k < parts.length; k++) square += parts[k]! ** 2;
    for (let k = 0; k < inputs.length; k++) square += (slopes[k]! * inputs[k]!.rough) ** 2;
    this.rough = Math.sqrt(square);
  }

  get u(): number {
    if (this.known < 0) this.find();
    return this.known;
  }

  get u95(): number {
    return this.u * this.factor;
  }

  private find(): void {
    if (this.inputs.length === 0) {
      this.known = this.rough;
      if (this.shape) this.factor = factor95(this.shape.fourth, this.shape.sixth);
      return;
    }
    sweep(this);
    let square = 0;
    for (let k = 0; k < met; k++) square += sums[touched[k]!]! ** 2;
    clear();
    this.known = Math.sqrt(square);
    if (fourth !== 0 && square > 0) this.factor = factor95(fourth / square ** 2, sixth / square ** 3);
  }
}

const NONE: readonly never[] = [];

export function exactly(value: number): Uncertain {
  return new UncertainNode(value, NONE, NONE, NONE, NONE);
}

export function fromParts(value: number, sources: readonly number[], parts: readonly number[]): Uncertain {
  return new UncertainNode(value, sources, parts, NONE, NONE);
}

/** How a source's errors are distributed about zero, in its own standard deviations, evenly to both sides. */
export interface ErrorShape {
  /** One error, SD 1. */
  readonly draw: (random: () => number) => number;
  /** Its fourth and sixth cumulants; 0 for the normal distribution. */
  readonly fourth: number;
  readonly sixth: number;
}

/**
 * Half-width of the 95 % interval over the standard deviation, from the standardised fourth and sixth cumulants:
 * within 0.5 % where no one such source has more than two thirds of the variance; a lone rectangle comes out
 * 11 % too wide, a lone event frame 4 % too narrow (`eventInstant` has its own).
 *
 * @see Cornish and Fisher (1938), Revue de l'Institut International de Statistique 5, 307-320
 */
export function factor95(fourth: number, sixth: number): number {
  const z = K95;
  return (
    z +
    (fourth * (z ** 3 - 3 * z)) / 24 +
    (sixth * (z ** 5 - 10 * z ** 3 + 15 * z)) / 720 -
    (fourth ** 2 * (3 * z ** 5 - 24 * z ** 3 + 29 * z)) / 384
  );
}

/** Hands out source numbers for one measurement. */
export class Sources {
  private next = 0;

  get count(): number {
    return this.next;
  }

  /** A quantity with standard uncertainty `u` from a cause of its own. */
  add(value: number, u: number, shape: ErrorShape | null = null): Uncertain {
    if (u === 0) return exactly(value);
    return new UncertainNode(value, [this.next++], [u], NONE, NONE, null, 0, shape);
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
  for (const [weight, term] of terms) value += weight * term.value;
  return linearised(value, terms);
}

/**
 * A value known otherwise, with its first-order change for a change of each term.
 *
 * @param exact how the value really comes from the terms, for drawing errors; absent = in a straight line
 */
export function linearised(
  value: number,
  slopes: readonly (readonly [slope: number, term: Uncertain])[],
  exact?: { readonly calculation: Calculation; readonly pick: number },
): Uncertain {
  return new UncertainNode(
    value,
    NONE,
    NONE,
    slopes.map(([, term]) => term as UncertainNode),
    slopes.map(([slope]) => slope),
    exact?.calculation ?? null,
    exact?.pick ?? 0,
  );
}

/** A calculation for `linearised`, its arguments in the order `run` takes them. */
export function calculation(run: Calculation["run"], inputs: readonly Uncertain[]): Calculation {
  return { run, inputs: inputs as readonly UncertainNode[] };
}

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
  const inputs = args as readonly UncertainNode[];
  const at = inputs.map((input) => input.value);
  const results = f(...at);
  const slopes = results.map(() => new Array<number>(args.length).fill(0));
  const moved = (k: number, by: number) => {
    const value = at[k]!;
    at[k] = value + by;
    const there = f(...at);
    at[k] = value;
    return there;
  };
  for (let k = 0; k < inputs.length; k++) {
    const { rough } = inputs[k]!;
    if (rough === 0) continue;
    if (along === "tangent") {
      const h = SMALL_STEP * rough;
      const [above, below] = [moved(k, h), moved(k, -h)];
      for (let r = 0; r < results.length; r++) slopes[r]![k] = (above[r]! - below[r]!) / (2 * h);
      continue;
    }
    const { u } = inputs[k]!;
    if (u === 0) continue;
    const [near, far] = [
      [moved(k, u), moved(k, -u)],
      [moved(k, 2 * u), moved(k, -2 * u)],
    ] as const;
    results.forEach((centre, r) => {
      const square = (pair: typeof near) => (pair[0][r]! - centre) ** 2 + (pair[1][r]! - centre) ** 2;
      const size = Math.sqrt((square(near) + square(far) / 4) / 4) / u;
      slopes[r]![k] = near[0][r]! < near[1][r]! ? -size : size;
    });
  }
  const whole: Calculation = { run: f, inputs };
  return results.map((value, r) => new UncertainNode(value, NONE, NONE, inputs, slopes[r]!, whole, r));
}

/** Step of a derivative along the tangent, in (rough) standard uncertainties. */
const SMALL_STEP = 1e-3;

/** `derive` along the tangent for a function with one result. */
export function deriveOne(f: (...values: number[]) => number, args: readonly Uncertain[]): Uncertain {
  const inputs = args as readonly UncertainNode[];
  const at = inputs.map((input) => input.value);
  const slopes = new Array<number>(args.length).fill(0);
  for (let k = 0; k < inputs.length; k++) {
    const { value, rough } = inputs[k]!;
    if (rough === 0) continue;
    const h = SMALL_STEP * rough;
    at[k] = value + h;
    const above = f(...at);
    at[k] = value - h;
    slopes[k] = (above - f(...at)) / (2 * h);
    at[k] = value;
  }
  return new UncertainNode(f(...at), NONE, NONE, inputs, slopes, { run: f, inputs });
}

export function covariance(a: Uncertain, b: Uncertain): number {
  const parts = contributions(a);
  let sum = 0;
  for (const [source, part] of contributions(b)) sum += part * (parts.get(source) ?? 0);
  return sum;
}

/** Signed change of a value when each source moves by plus one of its own standard deviations. */
export function contributions(value: Uncertain): Map<number, number> {
  sweep(value as UncertainNode);
  const parts = new Map<number, number>();
  for (let k = 0; k < met; k++) parts.set(touched[k]!, sums[touched[k]!]!);
  clear();
  return parts;
}

/**
 * The same number with its contributions added up once, for values that many results are made of. Only for values
 * whose sources are all normal: how others err would be forgotten.
 */
export function condensed(value: Uncertain): Uncertain {
  const node = value as UncertainNode;
  sweep(node);
  const sources = Array.from(touched.subarray(0, met));
  const parts = sources.map((source) => sums[source]!);
  clear();
  return new UncertainNode(node.value, sources, parts, NONE, NONE, { run: itself, inputs: [node] });
}

/** The calculation of a value that is another, only known otherwise; drawing takes the other's draws. */
export const itself: Calculation["run"] = (value) => value!;

// One set of sums is reused for all sweeps: they are many, short, and never nested.
let sums = new Float64Array(1024);
let held = new Uint8Array(1024);
let touched = new Int32Array(1024);
let met = 0;
/** Working list of `collect`. */
const path: UncertainNode[] = [];
let steps = 0;
let visit = 0;
/** Cumulants of what the last sweep met that is not normal. */
let fourth = 0;
let sixth = 0;

/** Adds up, by source, what a value owes to it, into `sums` of the `met` sources `touched`. `clear` before the next sweep. */
function sweep(from: UncertainNode): void {
  visit++;
  steps = 0;
  collect(from);
  const order = path;
  from.adjoint = 1;
  fourth = 0;
  sixth = 0;
  for (let n = steps - 1; n >= 0; n--) {
    const node = order[n]!;
    const { adjoint, inputs, slopes, sources, parts, shape } = node;
    node.adjoint = 0;
    if (adjoint === 0) continue;
    for (let k = 0; k < inputs.length; k++) {
      if (slopes[k] !== 0) inputs[k]!.adjoint += adjoint * slopes[k]!;
    }
    if (shape) {
      const part = adjoint * parts[0]!;
      fourth += shape.fourth * part ** 4;
      sixth += shape.sixth * part ** 6;
    }
    for (let k = 0; k < sources.length; k++) {
      const source = sources[k]!;
      if (source >= sums.length) grow(source);
      if (held[source] === 0) {
        held[source] = 1;
        touched[met++] = source;
      }
      sums[source]! += adjoint * parts[k]!;
    }
  }
}

/** What a value is linear in, each once, inputs before what is made of them: onto `path`, which is reused. */
function collect(node: UncertainNode): void {
  node.visit = visit;
  const { inputs } = node;
  for (let k = 0; k < inputs.length; k++) {
    const input = inputs[k]!;
    if (input.visit !== visit && input.rough !== 0) collect(input);
  }
  path[steps++] = node;
}

/** Everything these values are calculated from, each once, inputs before what is made of them. */
export function inputsFirst(roots: readonly UncertainNode[]): UncertainNode[] {
  visit++;
  const order: UncertainNode[] = [];
  const go = (node: UncertainNode): void => {
    if (node.visit === visit) return;
    node.visit = visit;
    const { inputs } = node;
    for (let k = 0; k < inputs.length; k++) go(inputs[k]!);
    const exact = node.calculation?.inputs;
    if (exact && exact !== inputs) for (const input of exact) go(input);
    order.push(node);
  };
  for (const root of roots) go(root);
  return order;
}

function clear(): void {
  for (let k = 0; k < met; k++) {
    const source = touched[k]!;
    sums[source] = 0;
    held[source] = 0;
  }
  met = 0;
}

function grow(source: number): void {
  const before = { sums, held, touched };
  sums = new Float64Array(2 * source);
  held = new Uint8Array(2 * source);
  touched = new Int32Array(2 * source);
  sums.set(before.sums);
  held.set(before.held);
  touched.set(before.touched);
}
