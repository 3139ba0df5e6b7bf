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
 * The inverse of `distort`: the radius by Newton's method, to the last digits. Within the picture of a lens that
 * `isOneToOne` it nears the answer from one side only.
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
 * Whether the lens shows no two points of the scene at one place within `seen` of the picture's centre (in focal
 * lengths): its polynomial grows outward that far. A lens does, and beyond that `undistort` has no answer.
 */
export function isOneToOne(lens: Lens, seen: number): boolean {
  for (let r = 0; r < 10 * seen; r += seen / 50) {
    const r2 = r * r;
    if (growth(lens, r2) <= 0) return false;
    if (r * radial(lens, r2) >= seen) return true;
  }
  return false;
}

/** Growth of the seen radius with the true one. */
function growth(lens: Lens, r2: number): number {
  return 1 + 3 * lens.k1 * r2 + 5 * (lens.k2 ?? 0) * r2 * r2;
}

function radial(lens: Lens, r2: number): number {
  return 1 + lens.k1 * r2 + (lens.k2 ?? 0) * r2 * r2;
}
