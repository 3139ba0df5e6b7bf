import { localPolynomial } from "./localPolynomial.ts";

/** Several coordinates at the same times. */
export interface Signals {
  /** Seconds, increasing. */
  readonly times: readonly number[];
  readonly values: readonly (readonly number[])[];
}

export interface ChangePoint {
  /** Seconds. */
  readonly time: number;
  /** Share of the misfit of plain parabolas that the bend takes away, 0 to 1: near 0 the track shows no event. */
  readonly explained: number;
}

/** Fewest samples for four coefficients and some freedom. */
const FEWEST = 8;
const STEP = 0.002;

/**
 * When several coordinates bend at once: each is a parabola plus c (t − t₀)² after t₀, with one t₀ for all, the
 * least-squares one. A blade that leaves or meets the ice starts or stops to be pushed, which is such a bend.
 *
 * @param from, to between which t₀ is looked for, seconds
 * @returns null with fewer than eight samples
 */
export function changePoint({ times, values }: Signals, from: number, to: number): ChangePoint | null {
  if (times.length < FEWEST) return null;
  const centre = (times[0]! + times[times.length - 1]!) / 2;
  const parabola = orthonormalBasis(times.map((t) => t - centre));
  const rests = values.map((v) => without(v, parabola));
  const plain = rests.reduce((sum, r) => sum + dot(r, r), 0);
  let best = { time: Number.NaN, gained: -1 };
  for (let time = from; time <= to + 1e-9; time += STEP) {
    const bend = without(
      times.map((t) => Math.max(0, t - time) ** 2),
      parabola,
    );
    const size = dot(bend, bend);
    if (size < 1e-18) continue;
    const gained = rests.reduce((sum, r) => sum + dot(r, bend) ** 2 / size, 0);
    if (gained > best.gained) best = { time, gained };
  }
  if (best.gained < 0 || plain === 0) return null;
  return { time: best.time, explained: best.gained / plain };
}

/** Vertex of the least-squares parabola near a time; null where it does not bend the way asked. */
export function vertex(
  times: readonly number[],
  values: readonly number[],
  at: number,
  kind: "highest" | "lowest",
): number | null {
  if (times.length < 3) return null;
  const parabola = (derivative: 1 | 2) =>
    localPolynomial(times, at, 2, derivative).reduce((sum, w, k) => sum + w * values[k]!, 0);
  const bend = parabola(2);
  if (kind === "highest" ? bend >= 0 : bend <= 0) return null;
  return at - parabola(1) / bend;
}

/** Orthonormal basis of 1, t, t² over the samples. */
function orthonormalBasis(t: readonly number[]): number[][] {
  const basis: number[][] = [];
  for (let power = 0; power <= 2; power++) {
    const rest = without(
      t.map((x) => x ** power),
      basis,
    );
    const length = Math.sqrt(dot(rest, rest));
    basis.push(rest.map((x) => x / length));
  }
  return basis;
}

/** What is left of a vector beside an orthonormal basis; twice, against rounding. */
function without(values: readonly number[], basis: readonly (readonly number[])[]): number[] {
  const rest = values.slice();
  for (let round = 0; round < 2; round++) {
    for (const other of basis) {
      const share = dot(rest, other);
      for (let k = 0; k < rest.length; k++) rest[k]! -= share * other[k]!;
    }
  }
  return rest;
}

function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k]! * b[k]!;
  return sum;
}
