import { type ErrorShape, factor95, K95 } from "./errorShape.ts";
import { addWays, halfWidthByWays, startWays } from "./ways.ts";

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
  /**
   * Its results for a list of arguments, a single number where there is one result only. It is worked out millions of times:
   * the list is the same each time and must not be kept.
   */
  readonly run: (values: readonly number[]) => readonly number[] | number;
  readonly inputs: readonly UncertainNode[];
}

/** Which of a calculation's results a value is. */
export interface Result {
  readonly calculation: Calculation;
  readonly pick: number;
}

/** What a value owes to causes: its signed change when a source moves by plus one of its own standard deviations. */
export interface Spread {
  readonly sources: readonly number[];
  readonly parts: readonly number[];
  /** How each source errs where that is not normal; null where all are. */
  readonly shapes: readonly (ErrorShape | null)[] | null;
}

/** Standard uncertainty, and by how much the half-width of the 95 % interval exceeds it. */
interface Size {
  readonly u: number;
  readonly factor: number;
}

/** What an `Uncertain` is made of: causes of its own, and other uncertain numbers with first-order slopes. */
export class UncertainNode implements Uncertain {
  readonly value: number;
  /** Causes of its own; null where it has none. */
  readonly spread: Spread | null;
  readonly inputs: readonly UncertainNode[];
  readonly slopes: readonly number[];
  /** Where the result is not linear in its inputs: the calculation, and which of its results this is. */
  readonly calculation: Calculation | null;
  readonly pick: number;
  /** Whether nothing at all moves it. */
  readonly isExact: boolean;
  /** Working places of `sweep`. */
  visit = 0;
  place = 0;
  private about: number | null = null;
  size: Size | null = null;

  constructor(
    value: number,
    spread: Spread | null,
    inputs: readonly UncertainNode[],
    slopes: readonly number[],
    from: Result | null = null,
  ) {
    this.value = value;
    this.spread = spread;
    this.inputs = inputs;
    this.slopes = slopes;
    this.calculation = from?.calculation ?? null;
    this.pick = from?.pick ?? 0;
    let isExact = spread === null;
    for (let k = 0; isExact && k < inputs.length; k++) isExact = inputs[k]!.isExact;
    this.isExact = isExact;
  }

  get u(): number {
    return this.found().u;
  }

  get u95(): number {
    const { u, factor } = this.found();
    return u * factor;
  }

  /** About `u`, cheaply: as if no two inputs shared a source. Good enough for the step of a derivative. */
  get rough(): number {
    if (this.about !== null) return this.about;
    const { spread, inputs, slopes } = this;
    let square = 0;
    if (spread) for (const part of spread.parts) square += part * part;
    for (let k = 0; k < inputs.length; k++) {
      const part = slopes[k]! * inputs[k]!.rough;
      square += part * part;
    }
    this.about = Math.sqrt(square);
    return this.about;
  }

  private found(): Size {
    if (this.size) return this.size;
    sweep(this);
    this.size = sizeNow();
    return this.size;
  }
}

/** Signed change of a value when each source moves by plus one of its own standard deviations. */
export function contributions(value: Uncertain): Map<number, number> {
  const { sources, parts } = owed(value);
  return new Map(sources.map((source, k) => [source, parts[k]!]));
}

/** The same as lists, each source once. */
export function owed(value: Uncertain): Spread {
  const { spread, inputs } = value as UncertainNode;
  if (spread && inputs.length === 0) return spread;
  sweep(value as UncertainNode);
  return spreadNow();
}

/** How two values vary together, for the causes that both rest on. */
export function covariance(a: Uncertain, b: Uncertain): number {
  sweep(a as UncertainNode);
  if (held.length < sums.length) held = new Float64Array(sums.length);
  const kept = touched.slice(0, met);
  for (let k = 0; k < kept.length; k++) held[kept[k]!] = sums[kept[k]!]!;
  sweep(b as UncertainNode);
  let sum = 0;
  for (let k = 0; k < met; k++) {
    const source = touched[k]!;
    if (source < held.length) sum += sums[source]! * held[source]!;
  }
  for (let k = 0; k < kept.length; k++) held[kept[k]!] = 0;
  return sum;
}

/**
 * The same number with its contributions added up once, for values that many results are made of.
 *
 * @param drawn whether errors are going to be drawn: else how it was worked out is let go, and the memory with it
 */
export function condensed(value: Uncertain, drawn: boolean): Uncertain {
  const node = value as UncertainNode;
  if (node.isExact) return node;
  sweep(node);
  const calculation = drawn ? { run: itself, inputs: [node] } : null;
  const summed = new UncertainNode(
    node.value,
    spreadNow(),
    NONE,
    NONE,
    calculation && { calculation, pick: 0 },
  );
  // Found on the way: nearly every condensed value is asked for its size.
  summed.size = sizeNow();
  return summed;
}

const NONE: readonly never[] = [];

/** The calculation of a value that is another, only known otherwise; drawing takes the other's draws. */
export const itself: Calculation["run"] = (values) => values[0]!;

// One set of sums is reused for all sweeps: they are many, short, and never nested.
let sums = new Float64Array(1024);
/** The last sweep that met each source: before that, its sum is of another one. Counted in floats, as a day of dragging marks passes 2³¹. */
let metIn = new Float64Array(1024);
/** Sources met by the last sweep, in the order of meeting. */
let touched = new Int32Array(1024);
let met = 0;
/** By source what `covariance` has found of its first value; 0 at other times. */
let held = new Float64Array(1024);
/** Which of those, by place in that order, err in ways that are not normal, and how: the first so many of the lists. */
const unusual: number[] = [];
const shapes: ErrorShape[] = [];
let shaped = 0;
/** What the result owes to each node of `path`. */
let adjoints = new Float64Array(1024);
/** Working list of `collect`. */
const path: UncertainNode[] = [];
let steps = 0;
let visit = 0;

/** What the running sweep has found, as a spread. */
function spreadNow(): Spread {
  const sources = new Array<number>(met);
  const parts = new Array<number>(met);
  for (let k = 0; k < met; k++) {
    sources[k] = touched[k]!;
    parts[k] = sums[touched[k]!]!;
  }
  if (shaped === 0) return { sources, parts, shapes: null };
  const all = new Array<ErrorShape | null>(met).fill(null);
  for (let k = 0; k < shaped; k++) all[unusual[k]!] = shapes[k]!;
  return { sources, parts, shapes: all };
}

/** How large that is. */
function sizeNow(): Size {
  let square = 0;
  let fourth = 0;
  let sixth = 0;
  for (let k = 0; k < met; k++) {
    const part = sums[touched[k]!]!;
    square += part * part;
  }
  if (shaped === 0 || square === 0) return { u: Math.sqrt(square), factor: K95 };
  startWays();
  for (let k = 0; k < shaped; k++) {
    const part = sums[touched[unusual[k]!]!]!;
    const shape = shapes[k]!;
    if (shape.ways) {
      addWays(shape.ways, part);
      continue;
    }
    const power = part * part * part * part;
    fourth += shape.fourth * power;
    sixth += shape.sixth * power * part * part;
  }
  const u = Math.sqrt(square);
  const half = halfWidthByWays(square, fourth);
  if (half !== null) return { u, factor: half / u };
  return { u, factor: fourth === 0 ? K95 : factor95(fourth / square ** 2, sixth / square ** 3) };
}

/** Adds up, by source, what a value owes to it, into `sums` of the `met` sources `touched`. */
function sweep(from: UncertainNode): void {
  visit++;
  met = 0;
  shaped = 0;
  steps = 0;
  collect(from);
  if (adjoints.length < steps) adjoints = new Float64Array(2 * steps);
  else adjoints.fill(0, 0, steps);
  adjoints[steps - 1] = 1;
  for (let n = steps - 1; n >= 0; n--) {
    const { inputs, slopes, spread } = path[n]!;
    const adjoint = adjoints[n]!;
    if (adjoint === 0) continue;
    for (let k = 0; k < inputs.length; k++) {
      const input = inputs[k]!;
      if (!input.isExact) adjoints[input.place]! += adjoint * slopes[k]!;
    }
    if (spread) addUp(spread, adjoint);
  }
}

function addUp({ sources, parts, shapes: own }: Spread, adjoint: number): void {
  // The lists by names of their own: looked up anew for every part they cost a third of all this.
  let [sum, last, order] = [sums, metIn, touched];
  const now = visit;
  let count = met;
  for (let k = 0; k < sources.length; k++) {
    const source = sources[k]!;
    if (source >= sum.length) {
      grow(source);
      [sum, last, order] = [sums, metIn, touched];
    }
    const part = adjoint * parts[k]!;
    if (last[source] === now) {
      sum[source]! += part;
      continue;
    }
    last[source] = now;
    sum[source] = part;
    const shape = own === null ? null : own[k];
    if (shape) {
      unusual[shaped] = count;
      shapes[shaped++] = shape;
    }
    order[count++] = source;
  }
  met = count;
}

/** What a value is linear in, each once, inputs before what is made of them: onto `path`, which is reused. */
function collect(node: UncertainNode): void {
  node.visit = visit;
  const { inputs } = node;
  for (let k = 0; k < inputs.length; k++) {
    const input = inputs[k]!;
    if (input.visit !== visit && !input.isExact) collect(input);
  }
  node.place = steps;
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

function grow(source: number): void {
  const before = { sums, metIn, touched };
  sums = new Float64Array(2 * source);
  metIn = new Float64Array(2 * source);
  touched = new Int32Array(2 * source);
  sums.set(before.sums);
  metIn.set(before.metIn);
  touched.set(before.touched);
}
