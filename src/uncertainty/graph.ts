import { type ErrorShape, factor95, K95 } from "./errorShape.ts";

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
  return new UncertainNode(node.value, sources, parts, [], [], { run: itself, inputs: [node] });
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
