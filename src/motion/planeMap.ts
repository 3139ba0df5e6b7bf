import type { Straightening, Stretch } from "../ice/camera/bend.ts";

/**
 * A map of the picture's plane onto itself: nine numbers row by row, (x, y) to ((m0 x + m1 y + m2) / w, (m3 x + m4 y + m5) / w)
 * with w = m6 x + m7 y + m8. What a camera that only turns or zooms does to a picture is such a map, whatever lies in front of it
 * (Hartley and Zisserman, Multiple View Geometry, 2nd edition, 8.4.2).
 */
export type PlaneMap = readonly number[];

export const STAYS: PlaneMap = [1, 0, 0, 0, 1, 0, 0, 0, 1];

export interface Point {
  readonly x: number;
  readonly y: number;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** The middle of a picture whose top-left pixel has its centre at (0, 0). */
export function centreOf({ width, height }: Size): Point {
  return { x: (width - 1) / 2, y: (height - 1) / 2 };
}

/** Root mean square distance of the picture's points from its centre, px: what turn and scale are worth there. */
export function reachOf({ width, height }: Size): number {
  return Math.hypot(width, height) / Math.sqrt(12);
}

export function mapped(m: PlaneMap, x: number, y: number): Point {
  const w = m[6]! * x + m[7]! * y + m[8]!;
  return { x: (m[0]! * x + m[1]! * y + m[2]!) / w, y: (m[3]! * x + m[4]! * y + m[5]!) / w };
}

/** How a small neighbourhood of (x, y) is turned and stretched: [dX/dx, dX/dy, dY/dx, dY/dy]. */
export function stretchAt(m: PlaneMap, x: number, y: number): Stretch {
  const w = m[6]! * x + m[7]! * y + m[8]!;
  const at = mapped(m, x, y);
  return [
    (m[0]! - at.x * m[6]!) / w,
    (m[1]! - at.x * m[7]!) / w,
    (m[3]! - at.y * m[6]!) / w,
    (m[4]! - at.y * m[7]!) / w,
  ];
}

/** Where a place is seen by a map of straightened pictures; without a lens it is one of the pictures themselves. */
export function seenAt(m: PlaneMap, x: number, y: number, lens: Straightening | null): Point {
  if (!lens) return mapped(m, x, y);
  const from = lens.straight(x, y);
  const to = mapped(m, from.x, from.y);
  return lens.bent(to.x, to.y);
}

/** Likewise how its neighbourhood is turned and stretched. */
export function stretchSeen(m: PlaneMap, x: number, y: number, lens: Straightening | null): Stretch {
  if (!lens) return stretchAt(m, x, y);
  const from = lens.straight(x, y);
  const to = mapped(m, from.x, from.y);
  const seen = lens.bent(to.x, to.y);
  const [a, b, c, d] = lens.stretch(seen.x, seen.y);
  const size = a * d - b * c;
  const back: Stretch = [d / size, -b / size, -c / size, a / size];
  return afterStretch(back, afterStretch(stretchAt(m, from.x, from.y), lens.stretch(x, y)));
}

function afterStretch([a, b, c, d]: Stretch, [e, f, g, h]: Stretch): Stretch {
  return [a * e + b * g, a * f + b * h, c * e + d * g, c * f + d * h];
}

/** First `first`, then `second`; scaled so that its last number is 1. */
export function chained(second: PlaneMap, first: PlaneMap): PlaneMap {
  const product = [0, 3, 6].flatMap((row) =>
    [0, 1, 2].map(
      (c) => second[row]! * first[c]! + second[row + 1]! * first[c + 3]! + second[row + 2]! * first[c + 6]!,
    ),
  );
  return product.map((v) => v / product[8]!);
}

export function inverse(m: PlaneMap): PlaneMap {
  /** The two-by-two determinant that is left without one row and one column, its sign by going round. */
  const rest = (row: number, column: number) => {
    const at = (r: number, c: number) => m[3 * ((row + r) % 3) + ((column + c) % 3)]!;
    return at(1, 1) * at(2, 2) - at(1, 2) * at(2, 1);
  };
  const adjoint = [0, 1, 2].flatMap((row) => [0, 1, 2].map((column) => rest(column, row)));
  return adjoint.map((v) => v / adjoint[8]!);
}

/** Where the background of one frame is seen in another, at the picture's centre. Right, down and clockwise count as more. */
export interface CentreMotion {
  readonly dxPx: number;
  readonly dyPx: number;
  readonly turnDeg: number;
  readonly scale: number;
}

/** Turn and scale are those of the map's stretch there: the angle of its nearest rotation, the root of its area. */
export function centreMotion(m: PlaneMap, size: Size, lens: Straightening | null = null): CentreMotion {
  const { x, y } = centreOf(size);
  const to = seenAt(m, x, y, lens);
  const [a, b, c, d] = stretchSeen(m, x, y, lens);
  return {
    dxPx: to.x - x,
    dyPx: to.y - y,
    turnDeg: (Math.atan2(c - b, a + d) * 180) / Math.PI,
    scale: Math.sqrt(Math.abs(a * d - b * c)),
  };
}
