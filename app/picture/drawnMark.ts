import type { PicturePoint } from "../../src/ice/types.ts";
import type { Side } from "../../src/study/types.ts";
import { toStage, type View } from "./view.ts";

/** A mark as the picture shows it. `id` is the caller's own. */
export interface DrawnMark {
  readonly id: string;
  readonly xPx: number;
  readonly yPx: number;
  /** null: a point of the ice. */
  readonly side: Side | null;
  readonly label: string;
  readonly ring?: "round" | "square";
}

/** The mark nearest the pointer within `reach` px of the screen; null when there is none. */
export function markAt(
  marks: readonly DrawnMark[],
  view: View,
  x: number,
  y: number,
  reach: number,
): DrawnMark | null {
  let best: DrawnMark | null = null;
  let least = reach;
  for (const mark of marks) {
    const at = toStage(view, mark);
    const distance = Math.hypot(at.x - x, at.y - y);
    if (distance <= least) {
      least = distance;
      best = mark;
    }
  }
  return best;
}

/** Marks are kept to a hundredth of a pixel: finer than any eye, short in the file. */
export function rounded(p: PicturePoint): PicturePoint {
  return { xPx: Math.round(p.xPx * 100) / 100, yPx: Math.round(p.yPx * 100) / 100 };
}
