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
  /** The mark at the other end of the same piece: of a blade, of the hips. */
  readonly otherEnd?: string;
}

/** What a press on the picture puts. */
export interface Placing {
  readonly side: Side | null;
  readonly label: string;
  /** Whose the other end is that a drag puts as well; absent = there is none. */
  readonly dragsTo?: Side;
}

/** Both ends of a piece. */
export type DrawnPiece = readonly [DrawnMark, DrawnMark];

/** The pieces among marks, each once. */
export function piecesOf(marks: readonly DrawnMark[]): readonly DrawnPiece[] {
  return marks.flatMap((a, i) => {
    const b = marks.slice(i + 1).find((m) => m.id === a.otherEnd);
    return b ? [[a, b] as const] : [];
  });
}

/** The piece whose middle part is within `reach` px of the screen of the pointer; its ends are taken by themselves. */
export function pieceAt(
  marks: readonly DrawnMark[],
  view: View,
  x: number,
  y: number,
  reach: number,
): DrawnPiece | null {
  for (const piece of piecesOf(marks)) {
    const [a, b] = [toStage(view, piece[0]), toStage(view, piece[1])];
    const [dx, dy] = [b.x - a.x, b.y - a.y];
    const length = Math.hypot(dx, dy);
    if (length === 0) continue;
    const along = ((x - a.x) * dx + (y - a.y) * dy) / length;
    const aside = Math.abs((x - a.x) * dy - (y - a.y) * dx) / length;
    const end = Math.min(reach, length / 3);
    if (aside <= reach && along >= end && along <= length - end) return piece;
  }
  return null;
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
