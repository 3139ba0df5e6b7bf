import { type JournalStep, stepChanges } from "../../src/study/journal.ts";
import type { Mark, WholeStudy } from "../../src/study/types.ts";
import { emptyMarks } from "../../src/trials/trialInput.ts";

/** A mark whose frame is its number, so that what is there can be counted and none can be mistaken for another. */
export function numbered(n: number): Mark {
  return { frame: n, time: n / 60, point: "blade_toe", side: "left", xPx: 100 + n / 8, yPx: 500 };
}

/** The step of putting mark `n` on a trial, and the study after it. */
export function markStep(
  whole: WholeStudy,
  trial: string,
  n: number,
): { step: JournalStep; next: WholeStudy } {
  const before = whole.marks[trial] ?? emptyMarks(trial);
  const after = { ...before, marks: [...before.marks, numbered(n)] };
  const next = { ...whole, marks: { ...whole.marks, [trial]: after } };
  return { next, step: asStep(whole, next, `mark ${n}`, trial, n) };
}

export function asStep(
  before: WholeStudy,
  after: WholeStudy,
  label: string,
  trial: string | null = null,
  frame = 0,
): JournalStep {
  return { kind: "do", label, trial, frame, changes: stepChanges(before, after) };
}

/** Numbers of the marks of all trials, in order of number. */
export function numbersOf(whole: WholeStudy): number[] {
  return Object.values(whole.marks)
    .flatMap((m) => m.marks.map((mark) => mark.frame))
    .sort((a, b) => a - b);
}
