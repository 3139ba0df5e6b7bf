import { MeasureError } from "../errors.ts";
import type { Mark } from "../study/types.ts";

/** A mark in words: "left blade's heel end". */
export function pointWords(point: Mark["point"], side: Mark["side"]): string {
  if (point === "blade_heel") return `${side} blade's heel end`;
  if (point === "blade_toe") return `${side} blade's toe end`;
  return `${side} ${point}`;
}

/**
 * Refuses marks that cannot be what anybody meant.
 *
 * @throws {MeasureError} `mark-not-a-number`, `mark-outside-picture`, `duplicate-mark`
 */
export function checkMarks(
  marks: readonly Mark[],
  picture: { readonly width: number; readonly height: number },
): void {
  const seen = new Set<string>();
  for (const mark of marks) {
    const name = pointWords(mark.point, mark.side);
    if (
      !Number.isFinite(mark.xPx) ||
      !Number.isFinite(mark.yPx) ||
      !((mark.uPx ?? 1) > 0 && Number.isFinite(mark.uPx ?? 1))
    ) {
      throw new MeasureError(
        "mark-not-a-number",
        `checkMarks requires finite coordinates and a positive uncertainty; frame ${mark.frame} ${mark.side} ${mark.point} has ${mark.xPx}, ${mark.yPx}, ${mark.uPx}`,
        `The ${name} in frame ${mark.frame} has no usable place in the picture. Mark it again.`,
        { frame: mark.frame, point: mark.point, side: mark.side },
      );
    }
    if (
      mark.xPx < -0.5 ||
      mark.yPx < -0.5 ||
      mark.xPx > picture.width - 0.5 ||
      mark.yPx > picture.height - 0.5
    ) {
      throw new MeasureError(
        "mark-outside-picture",
        `checkMarks requires marks inside the picture (${picture.width} x ${picture.height}); frame ${mark.frame} ${mark.side} ${mark.point} is at ${mark.xPx}, ${mark.yPx}`,
        `The ${name} in frame ${mark.frame} lies outside the picture, which is ${picture.width} by ${picture.height} px. Mark it again.`,
        { frame: mark.frame, point: mark.point, side: mark.side },
      );
    }
    const key = [mark.frame, mark.point, mark.side, mark.observer ?? "", mark.pass ?? ""].join("|");
    if (seen.has(key)) {
      throw new MeasureError(
        "duplicate-mark",
        `checkMarks requires one mark per frame, point, side, observer and pass; frame ${mark.frame} ${mark.side} ${mark.point} has two`,
        `The ${name} is marked twice in frame ${mark.frame}. Remove one; repeat marks need their own observer or pass.`,
        { frame: mark.frame, point: mark.point, side: mark.side },
      );
    }
    seen.add(key);
  }
}
