import type { PicturePoint } from "../../../src/ice/types.ts";
import type { MarkedPicture } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { insidePicture, marksOf, onPicture, withMarks } from "../marks/marksOf.ts";

/** Puts a point along what is straight in life. `line` counts from 0; null begins a new one. */
export const putOnLine: Command<{
  trial: string;
  line: number | null;
  at: PicturePoint;
  frame: number;
  picture: MarkedPicture;
}> = {
  name: "putOnLine",
  label: () => "point of a straight line",
  run(whole, { trial, line, at, frame, picture }) {
    insidePicture(at.xPx, at.yPx, picture);
    const before = onPicture(marksOf(whole, trial), picture);
    const lines = before.straightLines ?? [];
    const point = { xPx: at.xPx, yPx: at.yPx };
    const straightLines =
      line === null || !lines[line]
        ? [...lines, { points: [point], frame }]
        : lines.map((l, k) => (k === line ? { ...l, points: [...l.points, point] } : l));
    return withMarks(whole, { ...before, straightLines });
  },
};
