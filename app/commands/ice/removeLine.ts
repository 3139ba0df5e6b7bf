import type { Command } from "../Command.ts";
import { marksOf, withMarks } from "../marks/marksOf.ts";

/** Takes a straight line away. `line` counts from 0. */
export const removeLine: Command<{ trial: string; line: number }> = {
  name: "removeLine",
  label: ({ line }) => `remove line ${line + 1}`,
  run(whole, { trial, line }) {
    const { straightLines = [], ...marks } = marksOf(whole, trial);
    const left = straightLines.filter((_, k) => k !== line);
    if (left.length === straightLines.length) return whole;
    return withMarks(whole, left.length > 0 ? { ...marks, straightLines: left } : marks);
  },
};
