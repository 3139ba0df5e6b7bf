import { isLens, Straightening } from "../ice/camera/bend.ts";
import { choleskyFactor, solveFactored } from "../ice/numeric/positiveDefinite.ts";
import type { Bend, LearnedBend } from "../study/types.ts";
import { type Match, refineMap, solvePlane, straightened } from "./fitMap.ts";
import { PARTS, partsOf } from "./fitNoise.ts";
import { centreOf, mapped, type PlaneMap, type Point, type Size, seenAt } from "./planeMap.ts";

/** A key frame's places as they are seen in another frame, px, and how much each counted in its map. */
export interface Pair {
  readonly matches: readonly Match[];
  readonly weights: readonly number[];
}

/** Rounds of Gauss and Newton. */
const ROUNDS = 6;
const STEP = 1e-4;
/** A change of either number that is worth no further round. */
const SETTLED = 3e-5;
/** Rounds after which it stays as it is what belongs to the background. */
const SORTS = 2;
/** How much better one more number must fit (F, 1 and some hundred degrees of freedom): by chance once in 10 000 (15), and what shutter and coder do may look like it a little. */
const LEAST_F = 25;
/**
 * px, root mean square over the places: what one more number must explain; and where all parts of a pan show the same. [judgement: what a
 * shutter of 20 ms looks like as a hand begins to pan comes to 0.05]
 */
const WORTH_PX = 0.06;
const LEAST_WORTH_PX = 0.02;
/** Parts of a pan that must show the same lens, and how many standard deviations it must be from none by what they differ. */
const STRETCHES = 4;
const SURE = 5;
/** Places of the picture over which what is open of a lens is judged. */
const GRID = [0.1, 0.3, 0.5, 0.7, 0.9];

/**
 * The lens through which a pan of a camera that only turns (or zooms) is a map of the plane in every pair of frames: one number, or two
 * where the second fits clearly better. Each pair has a map of its own; what is least is how far places are seen from where these say.
 *
 * @param pairs of frames that differ by a part of a picture; a camera that hardly moves tells nothing
 * @param near what is known of it already
 * @param of in the midst of a pan a lens is told only where it does much; in the end also where it does little, but alike all along
 * @returns null where straight lines seem to stay straight
 * @see Golub and Pereyra (2003), Separable nonlinear least squares, Inverse Problems 19, R1-R26: the maps follow the lens
 */
export function learnBend(
  pairs: readonly Pair[],
  size: Size,
  near: Bend | null,
  of: "the pan so far" | "all of the pan",
): LearnedBend | null {
  if (pairs.length === 0) return null;
  const one = fitBend(pairs, size, { second: near?.second ?? 0, fourth: 0 }, 1);
  const worth = one && of === "all of the pan" && isOneLens(one) ? LEAST_WORTH_PX : WORTH_PX;
  if (!one || !isBetter(pairs, size, one, null, worth)) return null;
  const two = fitBend(pairs, size, near?.fourth ? near : one.bend, 2);
  const best = two && isBetter(pairs, size, two, one.bend, worth) ? two : one;
  return { ...best.bend, drift: driftOf(pairs, size, best) };
}

interface Fitted {
  readonly bend: Bend;
  readonly numbers: 1 | 2;
  /** By pair. */
  readonly seen: readonly SeenPair[];
  /** Sum of squared misses, weighed, px². */
  readonly misses: number;
}

interface SeenPair {
  readonly map: PlaneMap;
  readonly weights: readonly number[];
  /** Where each place is seen less where it should be, px. */
  readonly off: readonly Point[];
  /** How that follows each of the numbers. */
  readonly slopes: readonly (readonly Point[])[];
}

function fitBend(pairs: readonly Pair[], size: Size, start: Bend, numbers: 1 | 2): Fitted | null {
  let bend = start;
  let weights = pairs.map((p) => p.weights);
  for (let round = 0; ; round++) {
    const sorts = round < SORTS;
    const seen = pairs.map(({ matches }, k) =>
      seenThrough(matches, weights[k]!, bend, size, { numbers, sorts }),
    );
    const known = seen.filter((s) => s !== null);
    if (known.length < seen.length) return null;
    weights = known.map((s) => s.weights);
    const { normal, right, misses } = sums(known, numbers, () => true);
    const factor = choleskyFactor(normal, numbers);
    if (!factor) return null;
    solveFactored(factor, right);
    if (round === ROUNDS || right.every((v) => Math.abs(v) < SETTLED))
      return { bend, numbers, seen: known, misses };
    bend = moved(bend, right);
    if (!isLens(bend)) return null;
  }
}

/** One pair through a lens, with weights that suit it. */
function seenThrough(
  matches: readonly Match[],
  before: readonly number[],
  bend: Bend,
  size: Size,
  { numbers, sorts }: { readonly numbers: 1 | 2; readonly sorts: boolean },
): SeenPair | null {
  const lens = new Straightening(bend, size);
  const weights = sorts ? sorted(matches, before, lens, size) : before;
  const here = weights && offThrough(matches, weights, lens, size);
  if (!here) return null;
  const slopes: Point[][] = [];
  for (let k = 0; k < numbers; k++) {
    const step = moved(bend, k === 0 ? [STEP] : [0, STEP]);
    const there = offThrough(matches, weights, new Straightening(step, size), size);
    if (!there) return null;
    slopes.push(
      there.off.map(({ x, y }, i) => ({ x: (x - here.off[i]!.x) / STEP, y: (y - here.off[i]!.y) / STEP })),
    );
  }
  return { ...here, weights, slopes };
}

function sorted(
  matches: readonly Match[],
  before: readonly number[],
  lens: Straightening,
  size: Size,
): readonly number[] | null {
  const straight = straightened(matches, lens);
  const start = solvePlane(straight, before, size);
  return start && (refineMap(straight, start, "plane", size)?.weights ?? null);
}

/** What places are off by through a lens, with the map that suits them best. */
function offThrough(
  matches: readonly Match[],
  weights: readonly number[],
  lens: Straightening | null,
  size: Size,
): Pick<SeenPair, "map" | "off"> | null {
  const straight = straightened(matches, lens);
  const map = solvePlane(straight, weights, size);
  if (!map) return null;
  const off = matches.map(({ to }, i) => {
    if (!(weights[i]! > 0)) return { x: 0, y: 0 };
    const flat = mapped(map, straight[i]!.from.x, straight[i]!.from.y);
    const at = lens ? lens.bent(flat.x, flat.y) : flat;
    return { x: to.x - at.x, y: to.y - at.y };
  });
  return { map, off };
}

function moved({ second, fourth }: Bend, by: ArrayLike<number>): Bend {
  return { second: second + (by[0] ?? 0), fourth: fourth + (by[1] ?? 0) };
}

/** Normal equations of a step over the places that are asked for. */
function sums(
  seen: readonly SeenPair[],
  numbers: number,
  isAsked: (pair: number, place: number) => boolean,
): { readonly normal: Float64Array; readonly right: Float64Array; readonly misses: number } {
  const normal = new Float64Array(numbers * numbers);
  const right = new Float64Array(numbers);
  let misses = 0;
  seen.forEach(({ weights, off, slopes }, pair) => {
    weights.forEach((weight, i) => {
      if (!(weight > 0) || !isAsked(pair, i)) return;
      const o = off[i]!;
      misses += weight * (o.x * o.x + o.y * o.y);
      for (let r = 0; r < numbers; r++) {
        const a = slopes[r]![i]!;
        right[r]! -= weight * (a.x * o.x + a.y * o.y);
        for (let c = 0; c < numbers; c++) {
          const b = slopes[c]![i]!;
          normal[r * numbers + c]! += weight * (a.x * b.x + a.y * b.y);
        }
      }
    });
  });
  return { normal, right, misses };
}

/**
 * Whether a lens fits clearly better than a plainer one. The same places are seen in all pairs, and err alike in them: they count as
 * those of one pair.
 */
function isBetter(
  pairs: readonly Pair[],
  size: Size,
  { seen, misses, numbers }: Fitted,
  plainer: Bend | null,
  worthPx: number,
) {
  const lens = plainer && new Straightening(plainer, size);
  let [plain, weighed, used] = [0, 0, 0];
  for (const [k, { weights }] of seen.entries()) {
    const there = offThrough(pairs[k]!.matches, weights, lens, size);
    if (!there) return true;
    weights.forEach((weight, i) => {
      const { x, y } = there.off[i]!;
      plain += weight * (x * x + y * y);
      weighed += weight;
      if (weight > 0) used += 1;
    });
  }
  const free = (2 * used) / seen.length - 8 - numbers;
  const gained = plain - misses;
  const more = plainer ? 1 : numbers;
  return (
    free > 0 &&
    (gained / more / misses) * free > LEAST_F &&
    Math.sqrt(Math.max(0, gained) / weighed / 2) > worthPx
  );
}

/** By which groups places are left out, one group after the other. */
type Group = (pair: number, place: number) => number | null;

/** Changes of the lens's numbers, less their mean, without each of some groups of places in turn; the jackknife's SD is that of `doubt`. */
function withoutEach(
  { seen, numbers }: Fitted,
  count: number,
  groupOf: Group,
): readonly (readonly number[])[] {
  const steps = Array.from({ length: count }, (_, group) => {
    const { normal, right } = sums(seen, numbers, (pair, i) => groupOf(pair, i) !== group);
    const factor = choleskyFactor(normal, numbers);
    if (!factor) return null;
    solveFactored(factor, right);
    return Array.from(right);
  }).filter((step) => step !== null);
  const mean = Array.from(
    { length: numbers },
    (_, k) => steps.reduce((sum, s) => sum + s[k]!, 0) / steps.length,
  );
  return steps.map((step) => step.map((v, k) => v - mean[k]!));
}

function doubt(steps: readonly (readonly number[])[], of: (step: readonly number[]) => number): number {
  return Math.sqrt(((steps.length - 1) / steps.length) * steps.reduce((sum, step) => sum + of(step) ** 2, 0));
}

/** Without each part of the pan in turn: a shutter that is read while the camera speeds up looks like a lens, and like the opposite one while it slows down. */
function byStretch(fitted: Fitted): readonly (readonly number[])[] {
  const { length } = fitted.seen;
  return withoutEach(fitted, STRETCHES, (pair) => Math.floor((STRETCHES * pair) / length));
}

/** Whether all parts of a pan show the same lens. */
function isOneLens(fitted: Fitted): boolean {
  const { second, fourth } = fitted.bend;
  const open = doubt(byStretch(fitted), ([a = 0, b = 0]) => a + b);
  return fitted.seen.length >= 2 * STRETCHES && Math.abs(second + fourth) > SURE * open;
}

/**
 * What a lens leaves open, by leaving out one part of the picture (as in `fitNoise`), and of the pan, after the other, as the share of a
 * pan by which places all over the picture then come to lie elsewhere.
 */
function driftOf(pairs: readonly Pair[], size: Size, fitted: Fitted): number {
  const { bend, seen } = fitted;
  const parts = pairs.map(({ matches }, k) =>
    partsOf(matches.map(({ from }, i) => (seen[k]!.weights[i]! > 0 ? from : null))),
  );
  const byPart = withoutEach(fitted, PARTS, (pair, i) => parts[pair]![i]!);
  const share = (step: readonly number[]) => shareMoved(pairs, size, bend, seen, step);
  const stretches = seen.length >= 2 * STRETCHES ? byStretch(fitted) : [];
  return Math.hypot(doubt(byPart, share), stretches.length > 1 ? doubt(stretches, share) : 0);
}

/** Of a pan, how far places all over the picture move, root mean square, where the lens is changed by a little. */
function shareMoved(
  pairs: readonly Pair[],
  size: Size,
  bend: Bend,
  seen: readonly SeenPair[],
  step: readonly number[],
): number {
  const lens = new Straightening(moved(bend, step), size);
  const here = new Straightening(bend, size);
  const centre = centreOf(size);
  let [square, count] = [0, 0];
  for (const [k, { map, weights }] of seen.entries()) {
    const other = solvePlane(straightened(pairs[k]!.matches, lens), weights, size);
    const to = mapped(map, centre.x, centre.y);
    const way = Math.hypot(to.x - centre.x, to.y - centre.y);
    if (!other) continue;
    for (const across of GRID)
      for (const down of GRID) {
        const [x, y] = [across * (size.width - 1), down * (size.height - 1)];
        const [a, b] = [seenAt(map, x, y, here), seenAt(other, x, y, lens)];
        if (a.x < 0 || a.y < 0 || a.x > size.width - 1 || a.y > size.height - 1) continue;
        square += ((a.x - b.x) ** 2 + (a.y - b.y) ** 2) / 2 / way ** 2;
        count += 1;
      }
  }
  return count > 0 ? Math.sqrt(square / count) : 0;
}
