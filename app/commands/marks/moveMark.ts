import type { Command } from "../Command.ts";
import { pointWords } from "../words.ts";
import { findMark, insidePicture, type MarkKey, marksOf, sameMark, withMarks } from "./marksOf.ts";

/** Moves a mark within its frame. */
export const moveMark: Command<{ trial: string; key: MarkKey; xPx: number; yPx: number }> = {
  name: "moveMark",
  label: ({ key }) => `move ${pointWords(key.point, key.side)}`,
  run(whole, { trial, key, xPx, yPx }) {
    const before = marksOf(whole, trial);
    const mark = findMark(before.marks, key);
    if (!mark || !before.picture || (mark.xPx === xPx && mark.yPx === yPx)) return whole;
    insidePicture(xPx, yPx, before.picture);
    return withMarks(whole, {
      ...before,
      marks: before.marks.map((m) => (sameMark(m, key) ? { ...m, xPx, yPx } : m)),
    });
  },
};
