import type { Command } from "../Command.ts";
import { pointWords } from "../words.ts";
import { findMark, type MarkKey, marksOf, sameMark, withMarks } from "./marksOf.ts";

/** Takes a mark away. */
export const removeMark: Command<{ trial: string; key: MarkKey }> = {
  name: "removeMark",
  label: ({ key }) => `remove ${pointWords(key.point, key.side)}`,
  run(whole, { trial, key }) {
    const before = marksOf(whole, trial);
    if (!findMark(before.marks, key)) return whole;
    return withMarks(whole, { ...before, marks: before.marks.filter((m) => !sameMark(m, key)) });
  },
};
