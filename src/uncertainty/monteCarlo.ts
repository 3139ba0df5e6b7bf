import type { Drawn } from "../reading.ts";
import { type Calculation, inputsFirst, itself, type Uncertain, type UncertainNode } from "./graph.ts";

/** Draws worked out together: large enough that a node's loop pays, small enough to stay in the processor's cache. */
export const BLOCK = 500;

/**
 * Results worked out again and again with drawn errors (propagation of distributions, JCGM 101:2008, 7): each
 * source is drawn from its own distribution, and everything made of it is calculated anew, without derivatives.
 *
 * @param random uniform in [0, 1); the same numbers give the same draws
 * @returns a row of `draws` values for each result, in the order of drawing
 */
export function drawResults(
  results: readonly Uncertain[],
  draws: number,
  random: () => number,
): Float64Array[] {
  const roots = results as readonly UncertainNode[];
  const order = inputsFirst(roots);
  const rows = results.map(() => new Float64Array(draws));
  const plan = planOf(order);
  const normal = normals(random);
  for (let start = 0; start < draws; start += BLOCK) {
    const size = Math.min(BLOCK, draws - start);
    for (const { errors, draw } of plan.sources) {
      if (draw) for (let d = 0; d < size; d++) errors[d] = draw(random);
      else for (let d = 0; d < size; d++) errors[d] = normal();
    }
    for (const step of plan.steps) step(size);
    roots.forEach((root, k) => {
      rows[k]!.set(plan.values.get(root)!.subarray(0, size), start);
    });
  }
  return rows;
}

interface Plan {
  readonly sources: readonly {
    readonly errors: Float64Array;
    readonly draw: ((random: () => number) => number) | null;
  }[];
  /** Fills the values of one node, or of all results of one calculation, for a block of draws. */
  readonly steps: readonly ((size: number) => void)[];
  readonly values: ReadonlyMap<UncertainNode, Float64Array>;
}

function planOf(order: readonly UncertainNode[]): Plan {
  const values = new Map<UncertainNode, Float64Array>();
  const errors = new Map<number, { errors: Float64Array; draw: Plan["sources"][number]["draw"] }>();
  const steps: ((size: number) => void)[] = [];
  const together = new Map<Calculation, { node: UncertainNode; into: Float64Array }[]>();
  for (const node of order) {
    if (node.calculation?.run === itself) {
      values.set(node, values.get(node.calculation.inputs[0]!)!);
      continue;
    }
    const into = new Float64Array(BLOCK);
    values.set(node, into);
    const { calculation, spread } = node;
    spread?.sources.forEach((source, k) => {
      if (!errors.has(source))
        errors.set(source, { errors: new Float64Array(BLOCK), draw: spread.shapes?.[k]?.draw ?? null });
    });
    if (!calculation) {
      let constant = node.value;
      const terms: Term[] = (spread?.sources ?? []).map((source, k) => ({
        weight: spread!.parts[k]!,
        drawn: errors.get(source)!.errors,
      }));
      node.inputs.forEach((input, k) => {
        // What never varies is in the value already.
        if (input.isExact) return;
        constant -= node.slopes[k]! * input.value;
        terms.push({ weight: node.slopes[k]!, drawn: values.get(input)! });
      });
      steps.push((size) => straight(constant, terms, into, size));
      continue;
    }
    const group = together.get(calculation);
    if (group) {
      group.push({ node, into });
      continue;
    }
    const made = [{ node, into }];
    together.set(calculation, made);
    const inputs = calculation.inputs.map((input) => values.get(input)!);
    steps.push((size) => calculate(calculation, inputs, made, size));
  }
  return { sources: [...errors.values()], steps, values };
}

/** One term of a straight line. */
interface Term {
  readonly weight: number;
  readonly drawn: Float64Array;
}

/** A node that is a straight line: its terms, four at a time, for one way through memory. */
function straight(constant: number, terms: readonly Term[], into: Float64Array, size: number): void {
  into.fill(constant, 0, size);
  let k = 0;
  for (; k + 4 <= terms.length; k += 4) {
    const [a, b, c, e] = [terms[k]!, terms[k + 1]!, terms[k + 2]!, terms[k + 3]!];
    const [wa, wb, wc, we] = [a.weight, b.weight, c.weight, e.weight];
    const [da, db, dc, de] = [a.drawn, b.drawn, c.drawn, e.drawn];
    for (let d = 0; d < size; d++) into[d]! += wa * da[d]! + wb * db[d]! + wc * dc[d]! + we * de[d]!;
  }
  for (; k < terms.length; k++) {
    const { weight, drawn } = terms[k]!;
    for (let d = 0; d < size; d++) into[d]! += weight * drawn[d]!;
  }
}

function calculate(
  calculation: Calculation,
  inputs: readonly Float64Array[],
  made: readonly { readonly node: UncertainNode; readonly into: Float64Array }[],
  size: number,
): void {
  const values = new Array<number>(inputs.length);
  for (let d = 0; d < size; d++) {
    for (let k = 0; k < inputs.length; k++) values[k] = inputs[k]![d]!;
    const results = calculation.run(values);
    if (typeof results === "number") made[0]!.into[d] = results;
    else for (const { node, into } of made) into[d] = results[node.pick]!;
  }
}

/** Standard normal numbers by the polar method, two for each accepted pair. @see Marsaglia and Bray (1964), SIAM Review 6, 260-264 */
function normals(random: () => number): () => number {
  let kept: number | null = null;
  return () => {
    if (kept !== null) {
      const one = kept;
      kept = null;
      return one;
    }
    for (;;) {
      const a = 2 * random() - 1;
      const b = 2 * random() - 1;
      const square = a * a + b * b;
      if (square === 0 || square >= 1) continue;
      const scale = Math.sqrt((-2 * Math.log(square)) / square);
      kept = b * scale;
      return a * scale;
    }
  };
}

/** @returns null when fewer than 99 of 100 draws gave a number at all */
export function summarise(row: Float64Array): Drawn | null {
  const usable = finite(row).sort();
  const n = usable.length;
  if (n < 0.99 * row.length || n < 2) return null;
  let mean = 0;
  for (const value of usable) mean += value / n;
  let square = 0;
  for (const value of usable) square += (value - mean) ** 2;
  return {
    mean,
    u: Math.sqrt(square / (n - 1)),
    low: quantile(usable, 0.025),
    high: quantile(usable, 0.975),
  };
}

/** A loop: with a callback it takes as long as the sorting. */
function finite(row: Float64Array): Float64Array {
  const found = new Float64Array(row.length);
  let n = 0;
  for (let k = 0; k < row.length; k++) if (Number.isFinite(row[k])) found[n++] = row[k]!;
  return found.subarray(0, n);
}

/** Of sorted values, in between by straight line (Hyndman and Fan 1996, definition 7). */
function quantile(sorted: Float64Array, share: number): number {
  const at = share * (sorted.length - 1);
  const below = Math.floor(at);
  const above = Math.min(below + 1, sorted.length - 1);
  return sorted[below]! + (at - below) * (sorted[above]! - sorted[below]!);
}
