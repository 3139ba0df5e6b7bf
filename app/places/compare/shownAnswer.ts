import { type PlainWords, plainWords } from "../../../src/compare/plainWords.ts";
import type { Comparison } from "../../../src/compare/types.ts";
import type { Warning } from "../../../src/reading.ts";
import { SAID, type StudyAnswer } from "../../../src/report/studyAnswer.ts";

/** Which trials the sentence and the pictures rest on. */
export type TrialsUsed = "all" | "without";

export interface ShownAnswer {
  readonly comparison: Comparison;
  readonly words: PlainWords;
  /** What `used` really is: "all" where no trial is known not to be as asked. */
  readonly used: TrialsUsed;
  /** Warnings of the trials actually used that the sentences do not say already. */
  readonly worthKnowing: readonly Warning[];
}

/** The comparison that is shown. "without" leaves out only the trials found not as asked; those that can't be judged stay. */
export function shownAnswer(answer: StudyAnswer, wanted: TrialsUsed): ShownAnswer {
  if (wanted === "all" || !answer.asAskedOnly) {
    return { comparison: answer.all, words: answer.words, used: "all", worthKnowing: answer.worthKnowing };
  }
  const comparison = answer.asAskedOnly;
  const worthKnowing = comparison.warnings.filter((w) => !SAID.has(w.code));
  return { comparison, words: plainWords(comparison), used: "without", worthKnowing };
}
