import type { Straightening } from "../ice/camera/bend.ts";
import { choleskyFactor, solveFactored } from "../ice/numeric/positiveDefinite.ts";
import { median } from "../statistics/median.ts";
import { centreOf, chained, mapped, type PlaneMap, type Point, type Size, STAYS } from "./planeMap.ts";

/** A place of a key frame and where it was found in another frame. */
export interface Match {
  readonly from: Point;
  readonly to: Point;
  /** How far it has been background so far, 0 to 1. */
  readonly trust: number;
}

/** Turned, scaled and moved (4 numbers), or any map of a plane (8): a pan tilts the picture, a rolling shutter slants it. */
export type Model = "similar" | "plane";

/** px; a place further from the fit than so, and than so many SD of those that belong to it, is not background. */
const NEAR_PX = 2.5;
/** Tukey's biweight with 95 % of least squares' efficiency where errors are normal (Huber and Ronchetti 2009, 4.8). */
const BIWEIGHT = 4.685;
/** px; what is read between pixels is not better. */
const FINEST_PX = 0.02;
const ROUNDS = 8;

export interface Fit {
  readonly map: PlaneMap;
  /** A weight for each match: 0 = not background. */
  readonly weights: readonly number[];
  /** Robust standard deviation of one coordinate of one place, px. */
  readonly scatterPx: number;
}

/**
 * Fits a map to matches of which some are of other things, by reweighted least squares from a first answer.
 *
 * @param start a map near enough for the background to lie within 2.5 px
 * @returns null when too few places are left
 */
export function refineMap(matches: readonly Match[], start: PlaneMap, model: Model, size: Size): Fit | null {
  let map = start;
  let weights: number[] = [];
  let scatterPx = NEAR_PX;
  for (let round = 0; round < ROUNDS; round++) {
    const off = matches.map((m) => misses(m, map));
    const near = off.filter((o) => Math.hypot(o.x, o.y) < NEAR_PX);
    if (near.length < 6) return null;
    const spread = 1.4826 * median(near.flatMap((o) => [Math.abs(o.x), Math.abs(o.y)]));
    scatterPx = Math.max(FINEST_PX, spread);
    const reach = Math.min(BIWEIGHT * scatterPx, NEAR_PX);
    weights = off.map((o, i) => {
      const t = (o.x ** 2 + o.y ** 2) / (2 * reach ** 2);
      return t < 1 ? matches[i]!.trust * (1 - t) ** 2 : 0;
    });
    const next = solveMap(matches, weights, map, model, size);
    if (!next) return null;
    map = next;
  }
  return { map, weights, scatterPx };
}

function misses({ from, to }: Match, map: PlaneMap): Point {
  const at = mapped(map, from.x, from.y);
  return { x: to.x - at.x, y: to.y - at.y };
}

/** Matches as they would be seen without the lens. */
export function straightened<M extends Match>(
  matches: readonly M[],
  lens: Straightening | null,
): readonly M[] {
  if (!lens) return matches;
  return matches.map((m) => ({
    ...m,
    from: lens.straight(m.from.x, m.from.y),
    to: lens.straight(m.to.x, m.to.y),
  }));
}

/** Any map of a plane by matches whose weights are known; its denominator settles in a few rounds. */
export function solvePlane(
  matches: readonly Match[],
  weights: readonly number[],
  size: Size,
): PlaneMap | null {
  let map: PlaneMap | null = STAYS;
  for (let round = 0; round < 4 && map; round++) map = solveMap(matches, weights, map, "plane", size);
  return map;
}

/** Sum of squared misses, weighed, px². */
export function weighedMisses(matches: readonly Match[], weights: readonly number[], map: PlaneMap): number {
  return matches.reduce((sum, m, i) => {
    const { x, y } = misses(m, map);
    return sum + weights[i]! * (x * x + y * y);
  }, 0);
}

/** One weighted least-squares step; places are counted from the picture's middle in half diagonals, so that all numbers are near 1. */
export function solveMap(
  matches: readonly Match[],
  weights: readonly number[],
  near: PlaneMap,
  model: Model,
  size: Size,
): PlaneMap | null {
  const middle = centreOf(size);
  const unit = Math.hypot(middle.x, middle.y);
  const n = model === "similar" ? 4 : 8;
  const normal = new Float64Array(n * n);
  const right = new Float64Array(n);
  const add = (row: readonly number[], value: number, weight: number) => {
    for (let i = 0; i < n; i++) {
      right[i]! += weight * row[i]! * value;
      for (let j = 0; j <= i; j++) normal[i * n + j]! += weight * row[i]! * row[j]!;
    }
  };
  matches.forEach(({ from, to }, i) => {
    if (!(weights[i]! > 0)) return;
    const [x, y] = [(from.x - middle.x) / unit, (from.y - middle.y) / unit];
    const [X, Y] = [(to.x - middle.x) / unit, (to.y - middle.y) / unit];
    if (model === "similar") {
      add([x, -y, 1, 0], X, weights[i]!);
      add([y, x, 0, 1], Y, weights[i]!);
    } else {
      // Multiplied by its denominator, as it was in the round before, an error counts in pixels again.
      const w = near[6]! * from.x + near[7]! * from.y + near[8]!;
      const weight = weights[i]! / (w * w);
      add([x, y, 1, 0, 0, 0, -X * x, -X * y], X, weight);
      add([0, 0, 0, x, y, 1, -Y * x, -Y * y], Y, weight);
    }
  });
  const factor = choleskyFactor(normal, n);
  if (!factor) return null;
  solveFactored(factor, right);
  const [a, b, c, d, e, f, g, h] = right as unknown as readonly number[];
  const inUnits =
    model === "similar" ? [a!, -b!, c!, b!, a!, d!, 0, 0, 1] : [a!, b!, c!, d!, e!, f!, g!, h!, 1];
  const toUnits = [1 / unit, 0, -middle.x / unit, 0, 1 / unit, -middle.y / unit, 0, 0, 1];
  const toPixels = [unit, 0, middle.x, 0, unit, middle.y, 0, 0, 1];
  return chained(toPixels, chained(inUnits, toUnits));
}
