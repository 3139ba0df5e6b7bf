import { type PlainWords, plainWords } from "../../../src/compare/plainWords.ts";
import type { Comparison } from "../../../src/compare/types.ts";
import type { StudyAnswer } from "../../../src/report/studyAnswer.ts";

/** Which trials the sentence and the pictures rest on. */
export type TrialsUsed = "all" | "without";

export interface ShownAnswer {
  readonly comparison: Comparison;
  readonly words: PlainWords;
  /** What `used` really is: "all" where no trial is known not to be as asked. */
  readonly used: TrialsUsed;
}

/** The comparison that is shown. "without" leaves out only the trials found not as asked; those that can't be judged stay. */
export function shownAnswer(answer: StudyAnswer, wanted: TrialsUsed): ShownAnswer {
  if (wanted === "all" || !answer.asAskedOnly) {
    return { comparison: answer.all, words: answer.words, used: "all" };
  }
  return { comparison: answer.asAskedOnly, words: plainWords(answer.asAskedOnly), used: "without" };
}
