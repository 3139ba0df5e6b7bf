import type { Mark, MarkedPicture } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { pointWords } from "../words.ts";
import { insidePicture, marksOf, onPicture, sameMark, withMarks } from "./marksOf.ts";

/** Puts a point of the body or blade on a frame; a point already there moves. */
export const addMark: Command<{ trial: string; mark: Mark; picture: MarkedPicture }> = {
  name: "addMark",
  label: ({ mark }) => `mark ${pointWords(mark.point, mark.side)}`,
  run(whole, { trial, mark, picture }) {
    insidePicture(mark.xPx, mark.yPx, picture);
    const before = onPicture(marksOf(whole, trial), picture);
    const others = before.marks.filter((m) => !sameMark(m, mark));
    const notSeen = before.notSeen?.filter(
      (n) => !(n.frame === mark.frame && n.point === mark.point && n.side === mark.side),
    );
    return withMarks(whole, {
      ...before,
      marks: [...others, mark],
      ...(notSeen ? { notSeen } : {}),
    });
  },
};
