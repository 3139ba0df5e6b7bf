import { Matrix, SVD } from "ml-matrix";
import { multiply } from "./matrix3.ts";

/** A place known on the ice (metres) and in the picture (ideal pixels, lens distortion removed). */
export interface PointPair {
  readonly x: number;
  readonly y: number;
  readonly uPx: number;
  readonly vPx: number;
}

/** Nine numbers, row by row: (x, y, 1) on the ice times this gives homogeneous picture coordinates. */
export type Homography = readonly number[];

export function iceToPicture(
  h: Homography,
  x: number,
  y: number,
): readonly [u: number, v: number, w: number] {
  const w = h[6]! * x + h[7]! * y + h[8]!;
  return [(h[0]! * x + h[1]! * y + h[2]!) / w, (h[3]! * x + h[4]! * y + h[5]!) / w, w];
}

/** Inverse up to scale (adjugate), so that it exists for every homography that is not degenerate. */
export function invert(h: Homography): Homography {
  const [a, b, c, d, e, f, g, i, k] = h as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  return [
    e * k - f * i,
    c * i - b * k,
    b * f - c * e,
    f * g - d * k,
    a * k - c * g,
    c * d - a * f,
    d * i - e * g,
    b * g - a * i,
    a * e - b * d,
  ];
}

/** Moves points so that they lie around the origin at a mean distance of √2. */
export interface Normaliser {
  readonly x: number;
  readonly y: number;
  readonly scale: number;
}

export function normaliser(points: readonly (readonly [number, number])[]): Normaliser {
  const x = points.reduce((sum, p) => sum + p[0], 0) / points.length;
  const y = points.reduce((sum, p) => sum + p[1], 0) / points.length;
  const spread = points.reduce((sum, p) => sum + Math.hypot(p[0] - x, p[1] - y), 0) / points.length;
  return { x, y, scale: Math.SQRT2 / spread };
}

/** H of the original coordinates from H of the normalised ones. */
export function denormalise(h: Homography, ice: Normaliser, picture: Normaliser): Homography {
  const shrink = [ice.scale, 0, -ice.scale * ice.x, 0, ice.scale, -ice.scale * ice.y, 0, 0, 1];
  const back = [1 / picture.scale, 0, picture.x, 0, 1 / picture.scale, picture.y, 0, 0, 1];
  return multiply(multiply(back, h), shrink);
}

/**
 * Homography from four or more pairs by the normalised direct linear transform, all pairs weighing the same.
 * Scaled so that the ice's own centroid has w = 1 (positive in front of the camera).
 *
 * @see Hartley (1997), IEEE PAMI 19, 580-593
 */
export function directLinear(pairs: readonly PointPair[]): Homography {
  const ice = normaliser(pairs.map((p) => [p.x, p.y]));
  const picture = normaliser(pairs.map((p) => [p.uPx, p.vPx]));
  return denormalise(directLinearNormalised(pairs, ice, picture), ice, picture);
}

/** The same in normalised coordinates, with the last element 1. */
export function directLinearNormalised(
  pairs: readonly PointPair[],
  ice: Normaliser,
  picture: Normaliser,
): Homography {
  const rows: number[][] = [];
  for (const p of pairs) {
    const x = (p.x - ice.x) * ice.scale;
    const y = (p.y - ice.y) * ice.scale;
    const u = (p.uPx - picture.x) * picture.scale;
    const v = (p.vPx - picture.y) * picture.scale;
    rows.push([x, y, 1, 0, 0, 0, -u * x, -u * y, -u], [0, 0, 0, x, y, 1, -v * x, -v * y, -v]);
  }
  // With four pairs the matrix is 8 x 9; a row of zeros makes the last right vector the null vector.
  while (rows.length < 9) rows.push(new Array<number>(9).fill(0));
  const right = new SVD(new Matrix(rows), { autoTranspose: false }).rightSingularVectors;
  const h = right.getColumn(8);
  return h.map((value) => value / h[8]!);
}
