import { choleskyFactor, solveFactored, solveLower } from "../../ice/numeric/positiveDefinite.ts";

/** A place on the ice at a time, along the mean travel and to its left, metres. */
export interface TimedPlace {
  readonly time: number;
  readonly along: number;
  readonly left: number;
  /** Variances and covariance of these two, with what a skater varies by. */
  readonly spread: readonly [along: number, both: number, left: number];
  /** +1 where it is the left blade's, -1 the right one's. */
  readonly outward: 1 | -1;
  readonly kind: Kind;
}

/** The blade that leaves the ice, the one that stands meanwhile, the one that comes down: each lies alike about the skater. */
export type Kind = "leaves" | "stands" | "lands";

/** Places that together lie off the path of the others. */
export interface Jump {
  /** Indices of the places. */
  readonly members: readonly number[];
  /** How far they lie ahead of the path, metres. */
  readonly ahead: number;
  /** How unlikely that is by chance, as standard deviations of a normal number. */
  readonly deviations: number;
  /** Speed along the path there, m/s. */
  readonly speed: number;
}

/** What is known of a coefficient before looking; infinite = nothing. */
interface Coefficient {
  readonly mean: number;
  readonly u: number;
  /** What a place's along, or its left, gains by one of it. */
  readonly of: (p: TimedPlace, since: number) => number;
}

const ofKind = (kind: Kind, of: (p: TimedPlace, t: number) => number) => (p: TimedPlace, t: number) =>
  p.kind === kind ? of(p, t) : 0;

const FLAT = Number.POSITIVE_INFINITY;

/**
 * How a skater goes: time series about the middle of the trial, and where each kind of contact lies about the skater.
 * Along: v = top (1 − exp(−t/1.2 s)) from rest has 7.5 m/s², −6 m/s³, 5 m/s⁴ at most. Across: a weave of half a metre at
 * 2 rad/s has 2 m/s². Blades about the skater: wide of all that we can think of. [judgement]
 */
const ALONG: readonly Coefficient[] = [
  { mean: 0, u: FLAT, of: () => 1 },
  { mean: 0, u: FLAT, of: (_, t) => t },
  { mean: 0, u: 4, of: (_, t) => t ** 2 / 2 },
  { mean: 0, u: 5, of: (_, t) => t ** 3 / 6 },
  { mean: 0, u: 5, of: (_, t) => t ** 4 / 24 },
  { mean: 0.4, u: 0.35, of: ofKind("stands", () => 1) },
  { mean: 0.35, u: 0.4, of: ofKind("lands", () => 1) },
];
const LEFT: readonly Coefficient[] = [
  { mean: 0, u: FLAT, of: () => 1 },
  { mean: 0, u: FLAT, of: (_, t) => t },
  { mean: 0, u: 1, of: (_, t) => t ** 2 / 2 },
  { mean: 0, u: 2, of: (_, t) => t ** 3 / 6 },
  { mean: 0, u: 4, of: (_, t) => t ** 4 / 24 },
  { mean: 0.45, u: 0.3, of: ofKind("leaves", (p) => p.outward) },
  { mean: 0.15, u: 0.25, of: ofKind("stands", (p) => p.outward) },
  { mean: 0.15, u: 0.25, of: ofKind("lands", (p) => p.outward) },
  // From rest strides grow wider.
  { mean: 0, u: 0.2, of: ofKind("leaves", (p, t) => p.outward * t) },
  { mean: 0, u: 0.2, of: ofKind("leaves", (p, t) => (p.outward * t ** 2) / 2) },
];
/** First along, then left: those of numbers below `AHEAD` move places along only, the others to the left only. */
const PATH = [...ALONG, ...LEFT];
const AHEAD = ALONG.length;

/**
 * Which of some groups of places lies farthest off the path of all others: each group in turn is let free to lie ahead by a
 * common shift, and each of its blades aside. How far places spread is what is believed of it (`spread`) and what the others show, together.
 *
 * @see Baarda (1968), A testing procedure for use in geodetic networks: the test of one bias at a time, here of several
 *   coordinates; Wilson and Hilferty (1931) for chi-square as a normal number [both from memory]
 */
export function farthestJump(
  places: readonly TimedPlace[],
  groups: readonly (readonly number[])[],
): Jump | null {
  const path = fitPath(places);
  if (!path) return null;
  let best: Jump | null = null;
  for (const members of groups) {
    const shift = shiftOf(path, members);
    if (!shift) continue;
    const others =
      (BELIEVED + path.chiSquare - shift.gain) / (BELIEVED + Math.max(0, path.freedom - shift.size));
    const deviations = asNormal(shift.gain / others, shift.size);
    if (best && deviations <= best.deviations) continue;
    const speed = path.speedAt(places[members[0]!]!.time);
    best = { members, ahead: shift.ahead, deviations, speed };
  }
  return best;
}

type Path = NonNullable<ReturnType<typeof fitPath>>;

/** Weighted least squares of `PATH`, what is known before looking among the observations. */
function fitPath(places: readonly TimedPlace[]) {
  const size = PATH.length;
  const times = places.map((p) => p.time);
  const [from, to] = [Math.min(...times), Math.max(...times)];
  if (!(to > from) || places.length < FEWEST) return null;
  const since = (time: number) => time - (from + to) / 2;
  const count = places.length;
  const design = new Float64Array(count * size);
  places.forEach((p, k) => {
    const t = since(p.time);
    for (let c = 0; c < size; c++) design[k * size + c] = PATH[c]!.of(p, t);
  });
  const weights = places.map(({ spread: [aa, ab, bb] }) => {
    const det = aa * bb - ab * ab;
    return [bb / det, -ab / det, aa / det] as const;
  });
  const normal = new Float64Array(size * size);
  const solution = new Array<number>(size).fill(0);
  PATH.forEach(({ mean, u }, c) => {
    normal[c * size + c] = 1 / u ** 2;
    solution[c] = mean / u ** 2;
  });
  for (let k = 0; k < count; k++) {
    const { along: a, left: b } = places[k]!;
    const [waa, wab, wbb] = weights[k]!;
    const row = k * size;
    for (let i = 0; i < size; i++) {
      const by = design[row + i]!;
      if (by === 0) continue;
      const [pa, pb] = i < AHEAD ? [waa * by, wab * by] : [wab * by, wbb * by];
      solution[i]! += pa * a + pb * b;
      // Of the normal equations only the lower half is read.
      for (let j = 0; j <= i; j++) normal[i * size + j]! += (j < AHEAD ? pa : pb) * design[row + j]!;
    }
  }
  const factor = choleskyFactor(normal, size);
  if (!factor) return null;
  solveFactored(factor, solution);
  const residuals = places.map((p, k) => {
    let [a, b] = [p.along, p.left];
    for (let c = 0; c < AHEAD; c++) a -= design[k * size + c]! * solution[c]!;
    for (let c = AHEAD; c < size; c++) b -= design[k * size + c]! * solution[c]!;
    return [a, b] as const;
  });
  let chiSquare = 0;
  residuals.forEach(([a, b], k) => {
    const [waa, wab, wbb] = weights[k]!;
    chiSquare += waa * a * a + 2 * wab * a * b + wbb * b * b;
  });
  // What the observations themselves settle counts as taken from them.
  const settled = PATH.reduce((sum, { u }, c) => {
    if (u === FLAT) return sum + 1;
    const unit = new Float64Array(size);
    unit[c] = 1;
    solveLower(factor, unit);
    return sum + 1 - squareOf(unit) / u ** 2;
  }, 0);
  const freedom = 2 * places.length - settled;
  const speedAt = (time: number) => {
    const t = since(time);
    return solution[1]! + t * (solution[2]! + t * (solution[3]! / 2 + (t * solution[4]!) / 6));
  };
  /** Of each place the pull of its along and of its left on the path, each through half of the inverse. */
  const loads = weights.map(([waa, wab, wbb], k) => {
    const [ahead, aside] = [new Float64Array(size), new Float64Array(size)];
    for (let c = 0; c < size; c++) {
      const by = design[k * size + c]!;
      ahead[c] = (c < AHEAD ? waa : wab) * by;
      aside[c] = (c < AHEAD ? wab : wbb) * by;
    }
    solveLower(factor, ahead);
    solveLower(factor, aside);
    return { ahead, aside };
  });
  return { weights, loads, residuals, chiSquare, freedom, speedAt };
}

function squareOf(x: Float64Array): number {
  return product(x, x);
}

function product(x: Float64Array, y: Float64Array): number {
  let sum = 0;
  for (let c = 0; c < x.length; c++) sum += x[c]! * y[c]!;
  return sum;
}

/** So many places, that one which jumps stands against several. */
const FEWEST = 8;
/** What is believed of the spread counts as much as so many numbers of the trial's own. [judgement] */
const BELIEVED = 20;

/** The shift of some places, ahead in common and each to its left, that fits best, and how much better all fits with it. */
function shiftOf({ weights, loads, residuals }: Path, members: readonly number[]) {
  const size = 1 + members.length;
  const together = loads[members[0]!]!.ahead.slice();
  for (const k of members.slice(1))
    for (let c = 0; c < together.length; c++) together[c]! += loads[k]!.ahead[c]!;
  const load = [together, ...members.map((k) => loads[k]!.aside)];
  const pull = new Array<number>(size).fill(0);
  const left = new Float64Array(size * size);
  members.forEach((k, m) => {
    const [waa, wab, wbb] = weights[k]!;
    const [ra, rb] = residuals[k]!;
    pull[0]! += waa * ra + wab * rb;
    pull[m + 1] = wab * ra + wbb * rb;
    left[0]! += waa;
    left[m + 1] = wab;
    left[(m + 1) * size] = wab;
    left[(m + 1) * size + m + 1] = wbb;
  });
  const own = left[0]!;
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++) left[i * size + j]! -= product(load[i]!, load[j]!);
  // A group that the path follows wherever it lies tells nothing.
  if (left[0]! < FOLLOWED * own) return null;
  const inner = choleskyFactor(left, size);
  if (!inner) return null;
  const shift = pull.slice();
  solveFactored(inner, shift);
  const gain = shift.reduce((sum, s, i) => sum + s * pull[i]!, 0);
  return { size, gain, ahead: shift[0]! };
}

const FOLLOWED = 0.1;

/** Chi-square of so many degrees of freedom as the normal number that is as unlikely. */
function asNormal(chiSquare: number, freedom: number): number {
  const spread = 2 / (9 * freedom);
  return (Math.cbrt(chiSquare / freedom) - (1 - spread)) / Math.sqrt(spread);
}
