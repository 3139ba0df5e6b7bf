import type { Command } from "../Command.ts";
import { pieceWords, pointWords } from "../words.ts";
import { findMark, insidePicture, type MarkKey, marksOf, moved, sameMark, withMarks } from "./marksOf.ts";

interface To {
  readonly key: MarkKey;
  readonly xPx: number;
  readonly yPx: number;
}

/** Moves a mark within its frame; `also` moves the other end of the same piece with it. */
export const moveMark: Command<To & { readonly trial: string; readonly also?: To }> = {
  name: "moveMark",
  label: ({ key, also }) => `move ${also ? pieceWords(key, also.key) : pointWords(key.point, key.side)}`,
  run(whole, { trial, also, ...first }) {
    const before = marksOf(whole, trial);
    const { picture } = before;
    const moves = [first, ...(also ? [also] : [])].filter(({ key, xPx, yPx }) => {
      const mark = findMark(before.marks, key);
      return mark && (mark.xPx !== xPx || mark.yPx !== yPx);
    });
    if (!picture || moves.length === 0) return whole;
    for (const { xPx, yPx } of moves) insidePicture(xPx, yPx, picture);
    return withMarks(whole, {
      ...before,
      marks: before.marks.map((m) => {
        const to = moves.find(({ key }) => sameMark(m, key));
        return to ? moved({ ...m, xPx: to.xPx, yPx: to.yPx }) : m;
      }),
    });
  },
};
