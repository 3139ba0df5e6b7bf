import { choleskyFactor, solveFactored } from "../../ice/numeric/positiveDefinite.ts";

/** A place along the travel at a time. */
export interface TimedPlace {
  readonly time: number;
  readonly along: number;
  /** Standard uncertainty of `along`, with what a skater varies by. */
  readonly u: number;
  /** Places of one kind lie alike before or behind the skater. */
  readonly kind: number;
}

/** Places that together lie off a smooth path, by the same. */
export interface Jump {
  /** Indices of the places. */
  readonly members: readonly number[];
  /** How far they lie ahead of the path, metres. */
  readonly ahead: number;
  /** The same in its own standard deviations. */
  readonly deviations: number;
  /** Speed along the path there, m/s. */
  readonly speed: number;
}

/** A path that lasts so many seconds gets one degree more: a start from rest, v = top (1 − exp(−t/1.2 s)), is then met within 5 cm. */
const DEGREES = [1.2, 3] as const;
/** Places beyond what path and kinds need, so that one that jumps stands against several. */
const SPARE = 4;

/**
 * Which of some groups of places lies farthest off the smooth path of the others, in its own standard deviations: each
 * group in turn is let free to lie ahead by a common shift. The spread is that of the others where they spread wider than
 * their `u` says. Null where there are too few.
 *
 * @see Baarda (1968), A testing procedure for use in geodetic networks: the test of one bias at a time
 */
export function farthestJump(
  places: readonly TimedPlace[],
  groups: readonly (readonly number[])[],
): Jump | null {
  const path = fitPath(places);
  if (!path) return null;
  const { design, weights, factor, residuals, chiSquare, freedom, speedAt } = path;
  const size = design[0]!.length;
  let best: Jump | null = null;
  for (const members of groups) {
    const top = members.reduce((sum, k) => sum + weights[k]! * residuals[k]!, 0);
    const load = new Array<number>(size).fill(0);
    for (const k of members) for (let c = 0; c < size; c++) load[c]! += weights[k]! * design[k]![c]!;
    const through = load.slice();
    solveFactored(factor, through);
    const own = members.reduce((sum, k) => sum + weights[k]!, 0);
    const left = own - load.reduce((sum, value, c) => sum + value * through[c]!, 0);
    // A group that the path follows wherever it lies tells nothing.
    if (left < 0.2 * own) continue;
    const others = (chiSquare - top ** 2 / left) / (freedom - 1);
    const deviations = top / Math.sqrt(left) / Math.sqrt(Math.max(1, others));
    if (best && Math.abs(deviations) <= Math.abs(best.deviations)) continue;
    best = { members, ahead: top / left, deviations, speed: speedAt(places[members[0]!]!.time) };
  }
  return best;
}

/** Weighted least squares of a polynomial in time and a shift for each kind but one. */
function fitPath(places: readonly TimedPlace[]) {
  const times = places.map((p) => p.time);
  const [from, to] = [Math.min(...times), Math.max(...times)];
  const half = (to - from) / 2;
  const degree = 2 + DEGREES.filter((seconds) => to - from > seconds).length;
  const kinds = [...new Set(places.map((p) => p.kind))].sort((a, b) => a - b).slice(1);
  const size = degree + 1 + kinds.length;
  const freedom = places.length - size;
  if (freedom < SPARE || !(half > 0)) return null;
  const scaled = (time: number) => (time - from) / half - 1;
  const design = places.map(({ time, kind }) => [
    ...Array.from({ length: degree + 1 }, (_, power) => scaled(time) ** power),
    ...kinds.map((k) => (k === kind ? 1 : 0)),
  ]);
  const weights = places.map(({ u }) => 1 / u ** 2);
  const normal = new Float64Array(size * size);
  const solution = new Array<number>(size).fill(0);
  design.forEach((row, k) => {
    for (let a = 0; a < size; a++) {
      solution[a]! += weights[k]! * row[a]! * places[k]!.along;
      for (let b = 0; b < size; b++) normal[a * size + b]! += weights[k]! * row[a]! * row[b]!;
    }
  });
  const factor = choleskyFactor(normal, size);
  if (!factor) return null;
  solveFactored(factor, solution);
  const residuals = design.map(
    (row, k) => places[k]!.along - row.reduce((sum, value, c) => sum + value * solution[c]!, 0),
  );
  const chiSquare = residuals.reduce((sum, r, k) => sum + weights[k]! * r ** 2, 0);
  const speedAt = (time: number) => {
    let speed = 0;
    for (let power = 1; power <= degree; power++)
      speed += (power * solution[power]! * scaled(time) ** (power - 1)) / half;
    return speed;
  };
  return { design, weights, factor, residuals, chiSquare, freedom, speedAt };
}
