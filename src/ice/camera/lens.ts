import type { Lens } from "../../study/types.ts";

/** Where the optical axis meets the picture, and the focal length that normalises coordinates, px. */
export interface LensFrame {
  readonly cx: number;
  readonly cy: number;
  readonly focalPx: number;
}

/**
 * Where a picture point without lens distortion is seen through the lens (radial terms only).
 *
 * @see Brown (1971), Photogrammetric Engineering 37(8), 855-866
 */
export function distort(lens: Lens, frame: LensFrame, u: number, v: number): readonly [u: number, v: number] {
  if (isStraight(lens)) return [u, v];
  const x = (u - frame.cx) / frame.focalPx;
  const y = (v - frame.cy) / frame.focalPx;
  const stretch = radial(lens, x * x + y * y);
  return [frame.cx + frame.focalPx * x * stretch, frame.cy + frame.focalPx * y * stretch];
}

/**
 * The inverse of `distort`: the radius by Newton's method, to the last digits. Within the lens's `reach` it nears the
 * answer from one side only; beyond, there is none.
 */
export function undistort(
  lens: Lens,
  frame: LensFrame,
  u: number,
  v: number,
): readonly [u: number, v: number] {
  if (isStraight(lens)) return [u, v];
  const seen = Math.hypot(u - frame.cx, v - frame.cy) / frame.focalPx;
  let r = seen;
  for (let round = 0; round < 60; round++) {
    const step = (r * radial(lens, r * r) - seen) / growth(lens, r * r);
    r -= step;
    if (!(Math.abs(step) > 1e-16 * seen)) break;
  }
  const stretch = radial(lens, r * r);
  return [frame.cx + (u - frame.cx) / stretch, frame.cy + (v - frame.cy) / stretch];
}

/** Whether the lens leaves points where they are. */
export function isStraight(lens: Lens): boolean {
  return lens.k1 === 0 && !lens.k2;
}

/**
 * How far from its axis, as seen and in focal lengths, a lens shows each place once: its polynomial grows outward that
 * far, as a lens does, and then folds. Infinity where it never does.
 */
export function reach(lens: Lens): number {
  // The growth 1 + 3 k1 r² + 5 k2 r⁴ is zero at the fold; this form of the root holds for k2 = 0 and is the nearer of two.
  const k2 = lens.k2 ?? 0;
  const square = -2 / (3 * lens.k1 - Math.sqrt(9 * lens.k1 ** 2 - 20 * k2));
  return square > 0 ? Math.sqrt(square) * radial(lens, square) : Number.POSITIVE_INFINITY;
}

/** Whether a picture point lies where the lens shows something. */
export function isWithinReach(lens: Lens, frame: LensFrame, u: number, v: number): boolean {
  return Math.hypot(u - frame.cx, v - frame.cy) < frame.focalPx * reach(lens);
}

/** Growth of the seen radius with the true one. */
function growth(lens: Lens, r2: number): number {
  return 1 + 3 * lens.k1 * r2 + 5 * (lens.k2 ?? 0) * r2 * r2;
}

function radial(lens: Lens, r2: number): number {
  return 1 + lens.k1 * r2 + (lens.k2 ?? 0) * r2 * r2;
}
