import type { Lens } from "../study/types.ts";

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

/** The inverse of `distort`, by fixed-point iteration to 1e-12 of the focal length. */
export function undistort(
  lens: Lens,
  frame: LensFrame,
  u: number,
  v: number,
): readonly [u: number, v: number] {
  if (isStraight(lens)) return [u, v];
  const seenX = (u - frame.cx) / frame.focalPx;
  const seenY = (v - frame.cy) / frame.focalPx;
  let x = seenX;
  let y = seenY;
  for (let round = 0; round < 100; round++) {
    const stretch = radial(lens, x * x + y * y);
    const moved = Math.hypot(seenX / stretch - x, seenY / stretch - y);
    x = seenX / stretch;
    y = seenY / stretch;
    if (moved < 1e-13) break;
  }
  return [frame.cx + frame.focalPx * x, frame.cy + frame.focalPx * y];
}

/** Whether the lens leaves points where they are. */
function isStraight(lens: Lens): boolean {
  return lens.k1 === 0 && !lens.k2;
}

/**
 * Whether the lens shows no two points of the scene at one place within `seen` of the picture's centre (in focal
 * lengths): its polynomial grows outward that far. A lens does, and beyond that `undistort` has no answer.
 */
export function isOneToOne(lens: Lens, seen: number): boolean {
  for (let r = 0; r < 10 * seen; r += seen / 50) {
    const r2 = r * r;
    if (1 + 3 * lens.k1 * r2 + 5 * (lens.k2 ?? 0) * r2 * r2 <= 0) return false;
    if (r * radial(lens, r2) >= seen) return true;
  }
  return false;
}

function radial(lens: Lens, r2: number): number {
  return 1 + lens.k1 * r2 + (lens.k2 ?? 0) * r2 * r2;
}
