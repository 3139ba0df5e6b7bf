import { choleskyFactor, solveFactored } from "../ice/numeric/positiveDefinite.ts";
import type { Smooth } from "./grey.ts";

/** Half the side of a patch, px. */
export const REACH = 8;
/** What lies around a patch, px: with its slopes it needs so much to each side of its middle. */
export const ROOM = REACH + 1;
const SIDE = 2 * REACH + 1;
const PIXELS = SIDE * SIDE;

/** A place of a key frame as it looks there, and what is needed to find it again. */
export interface Patch {
  readonly x: number;
  readonly y: number;
  readonly shape: Float32Array;
  /** What each pixel's brightness says of the shift across, down, and of the contrast. */
  readonly across: Float32Array;
  readonly down: Float32Array;
  readonly contrast: Float32Array;
}

/**
 * Learns a patch around a whole pixel. null where it reaches over the edge or has no contrast both ways.
 *
 * A picture shifted by (u, v), with contrast g and brightness b, is g T + b + g (u Tx + v Ty) to first order. The least-squares
 * answers for u, v and g are weighed sums of the pixels, and the weights are worked out once here: so no change of exposure is
 * taken for a shift, and finding it again costs three sums.
 *
 * @see Baker and Matthews (2004), Lucas-Kanade 20 years on, International Journal of Computer Vision 56, 221-255: 3.2 (inverse
 *   compositional); part 3 of it for contrast and brightness
 */
export function learnPatch(picture: Smooth, x: number, y: number): Patch | null {
  const { width, height, data } = picture;
  if (x < ROOM || y < ROOM || x >= width - ROOM || y >= height - ROOM) return null;
  const shape = new Float32Array(PIXELS);
  const slopes = [new Float64Array(PIXELS), new Float64Array(PIXELS), new Float64Array(PIXELS)] as const;
  let at = 0;
  let sum = 0;
  for (let dy = -REACH; dy <= REACH; dy++)
    for (let dx = -REACH; dx <= REACH; dx++, at++) {
      const p = (y + dy) * width + x + dx;
      shape[at] = data[p]!;
      sum += data[p]!;
      slopes[0][at] = (data[p + 1]! - data[p - 1]!) / 2;
      slopes[1][at] = (data[p + width]! - data[p - width]!) / 2;
    }
  for (at = 0; at < PIXELS; at++) {
    shape[at]! -= sum / PIXELS;
    slopes[2][at] = shape[at]!;
  }
  const weights = shiftWeights(slopes);
  if (!weights) return null;
  const [across, down, contrast] = weights;
  return { x, y, shape, across: across!, down: down!, contrast: contrast! };
}

/** Rows of the pseudo-inverse for shift and contrast, with an unknown brightness beside them. */
function shiftWeights(slopes: readonly Float64Array[]): Float32Array[] | null {
  const centred = slopes.map((s) => {
    const mean = s.reduce((sum, v) => sum + v, 0) / PIXELS;
    return s.map((v) => v - mean);
  });
  const normal = centred.flatMap((a) => centred.map((b) => a.reduce((sum, v, i) => sum + v * b[i]!, 0)));
  const factor = choleskyFactor(normal, 3);
  if (!factor) return null;
  return [0, 1, 2].map((which) => {
    const row = [0, 0, 0];
    row[which] = 1;
    solveFactored(factor, row);
    return Float32Array.from(
      { length: PIXELS },
      (_, i) => row[0]! * centred[0]![i]! + row[1]! * centred[1]![i]! + row[2]! * centred[2]![i]!,
    );
  });
}

/** Where to look for a patch: its place, and how its neighbourhood is turned and stretched there. */
export interface Guess {
  readonly x: number;
  readonly y: number;
  readonly stretch: readonly [number, number, number, number];
}

export interface Found {
  readonly x: number;
  readonly y: number;
}

const MOST_STEPS = 12;
/** px; a step under it ends the search. */
const SMALL_STEP = 0.004;
/** px from the guess, before stretching: further it is another place that looks alike. */
const FARTHEST = REACH - 1;
/** Correlation with the patch as learned, under which it is hidden or another place. */
const LEAST_ALIKE = 0.75;

/** Finds a patch again in another picture, to a part of a pixel. null = it is not there, or not to be told apart. */
export function findPatch(patch: Patch, picture: Smooth, { x, y, stretch }: Guess): Found | null {
  const [a, b, c, d] = stretch;
  const sample = new Float32Array(PIXELS);
  let [u, v] = [0, 0];
  for (let step = 0; step < MOST_STEPS; step++) {
    if (!read(picture, { x: x + a * u + b * v, y: y + c * u + d * v, stretch }, sample)) return null;
    let [du, dv, gain] = [0, 0, 0];
    for (let i = 0; i < PIXELS; i++) {
      const s = sample[i]!;
      du += patch.across[i]! * s;
      dv += patch.down[i]! * s;
      gain += patch.contrast[i]! * s;
    }
    if (!(gain > 0.25 && gain < 4)) return null;
    u -= du / gain;
    v -= dv / gain;
    if (!(Math.abs(u) <= FARTHEST && Math.abs(v) <= FARTHEST)) return null;
    if (Math.abs(du) + Math.abs(dv) < SMALL_STEP * gain)
      return alike(patch.shape, sample) < LEAST_ALIKE ? null : { x: x + a * u + b * v, y: y + c * u + d * v };
  }
  return null;
}

/** Every so many pixels of a patch are enough to tell roughly where it is. */
const SPARSE = 2;

/**
 * Roughly where a patch is, by its correlation at every whole shift within `most` px across and down: thin lines pull `findPatch`
 * only from a pixel or two away.
 */
export function roughly(patch: Patch, picture: Smooth, { x, y, stretch }: Guess, most: number): Guess {
  const [a, b, c, d] = stretch;
  const { width, height, data } = picture;
  const shifts: number[] = [];
  const shape: number[] = [];
  for (let dy = -REACH; dy <= REACH; dy += SPARSE)
    for (let dx = -REACH; dx <= REACH; dx += SPARSE) {
      shape.push(patch.shape[(dy + REACH) * SIDE + dx + REACH]!);
      shifts.push(Math.round(c * dx + d * dy) * width + Math.round(a * dx + b * dy));
    }
  const mean = shape.reduce((sum, v) => sum + v, 0) / shape.length;
  const room = Math.ceil(REACH * Math.max(Math.abs(a) + Math.abs(b), Math.abs(c) + Math.abs(d))) + 1;
  let best = { x, y, stretch };
  let alikest = 0;
  for (let v = -most; v <= most; v++)
    for (let u = -most; u <= most; u++) {
      const [px, py] = [Math.round(x) + u, Math.round(y) + v];
      if (px < room || py < room || px >= width - room || py >= height - room) continue;
      const p = py * width + px;
      let [sum, square, both] = [0, 0, 0];
      for (let i = 0; i < shifts.length; i++) {
        const s = data[p + shifts[i]!]!;
        sum += s;
        square += s * s;
        both += s * (shape[i]! - mean);
      }
      const like = both / Math.sqrt(Math.max(1, square - (sum * sum) / shifts.length));
      if (like > alikest) {
        alikest = like;
        best = { x: px, y: py, stretch };
      }
    }
  return best;
}

/** Brightness on the patch's stretched grid around a place, between pixels in proportion. false = over the edge. */
function read({ width, height, data }: Smooth, { x, y, stretch }: Guess, into: Float32Array): boolean {
  const [a, b, c, d] = stretch;
  const wide = REACH * (Math.abs(a) + Math.abs(b));
  const high = REACH * (Math.abs(c) + Math.abs(d));
  if (!(x - wide >= 0 && y - high >= 0 && x + wide < width - 1 && y + high < height - 1)) return false;
  let at = 0;
  for (let dy = -REACH; dy <= REACH; dy++) {
    for (let dx = -REACH; dx <= REACH; dx++, at++) {
      const px = x + a * dx + b * dy;
      const py = y + c * dx + d * dy;
      const left = Math.floor(px);
      const top = Math.floor(py);
      const fx = px - left;
      const fy = py - top;
      const p = top * width + left;
      const above = data[p]! + fx * (data[p + 1]! - data[p]!);
      const below = data[p + width]! + fx * (data[p + width + 1]! - data[p + width]!);
      into[at] = above + fy * (below - above);
    }
  }
  return true;
}

/** Correlation coefficient; the shape's mean is 0. */
function alike(shape: Float32Array, sample: Float32Array): number {
  let [sum, square, both, own] = [0, 0, 0, 0];
  for (let i = 0; i < PIXELS; i++) {
    const s = sample[i]!;
    sum += s;
    square += s * s;
    both += s * shape[i]!;
    own += shape[i]! * shape[i]!;
  }
  return both / Math.sqrt(own * Math.max(1e-9, square - (sum * sum) / PIXELS));
}
