import type { Smooth } from "./grey.ts";
import type { Point } from "./planeMap.ts";

/** As many places across the picture as one corner each is looked for in, so that no busy part of it has more than its share. */
const ACROSS = 24;

/** Half the side of the square over which a corner is judged, px of the picture it is looked for in. */
const REACH = 3;

/** Grey levels a pixel, squared, in the weaker direction: under it what looks like a corner is the sensor's or the coder's noise. */
const LEAST = 2.5;

export interface Corner extends Point {
  /** Which of the places across and down the picture it is in. */
  readonly column: number;
  readonly row: number;
}

/**
 * The best corner of each part of a picture: where brightness changes in both directions, so that it can be found again to a
 * part of a pixel. Parts without one (bare ice, sky) give none.
 *
 * @param margin px at the picture's edges without corners
 * @returns whole pixels of this picture
 * @see Shi and Tomasi (1994), Good features to track, CVPR: the smaller eigenvalue of the gradients' second moments
 */
export function corners(picture: Smooth, margin: number): Corner[] {
  const { width, height } = picture;
  const side = Math.max(12, Math.ceil(width / ACROSS));
  const strength = cornerStrength(picture);
  const found: Corner[] = [];
  for (let row = 0; row * side < height; row++) {
    for (let column = 0; column * side < width; column++) {
      let best = LEAST;
      let at: Point | null = null;
      for (let y = Math.max(margin, row * side); y < Math.min(height - margin, (row + 1) * side); y++) {
        for (
          let x = Math.max(margin, column * side);
          x < Math.min(width - margin, (column + 1) * side);
          x++
        ) {
          if (strength[y * width + x]! > best) {
            best = strength[y * width + x]!;
            at = { x, y };
          }
        }
      }
      if (at) found.push({ ...at, column, row });
    }
  }
  return found;
}

/** The smaller eigenvalue at each pixel, mean over its square, grey levels a pixel, squared. */
function cornerStrength({ width, height, data }: Smooth): Float32Array {
  const xx = new Float32Array(width * height);
  const xy = new Float32Array(width * height);
  const yy = new Float32Array(width * height);
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const at = y * width + x;
      // Central differences of sixteenths of a level.
      const gx = (data[at + 1]! - data[at - 1]!) / 32;
      const gy = (data[at + width]! - data[at - width]!) / 32;
      xx[at] = gx * gx;
      xy[at] = gx * gy;
      yy[at] = gy * gy;
    }
  }
  const [sxx, sxy, syy] = [xx, xy, yy].map((moment) => squareMeans(moment, width, height)) as [
    Float32Array,
    Float32Array,
    Float32Array,
  ];
  return sxx.map((a, at) => {
    const [b, c] = [sxy[at]!, syy[at]!];
    return (a + c) / 2 - Math.sqrt(((a - c) / 2) ** 2 + b * b);
  });
}

/** Mean over the square around each pixel; 0 where it reaches over the edge. */
function squareMeans(values: Float32Array, width: number, height: number): Float32Array {
  const side = 2 * REACH + 1;
  const across = new Float32Array(values.length);
  for (let y = 0; y < height; y++)
    for (let x = REACH; x < width - REACH; x++) {
      let sum = 0;
      for (let k = -REACH; k <= REACH; k++) sum += values[y * width + x + k]!;
      across[y * width + x] = sum;
    }
  const means = new Float32Array(values.length);
  for (let y = REACH; y < height - REACH; y++)
    for (let x = REACH; x < width - REACH; x++) {
      let sum = 0;
      for (let k = -REACH; k <= REACH; k++) sum += across[(y + k) * width + x]!;
      means[y * width + x] = sum / (side * side);
    }
  return means;
}
