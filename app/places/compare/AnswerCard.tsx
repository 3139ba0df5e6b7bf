import type { ReactNode } from "react";
import type { ManyTechniques } from "../../../src/compare/manyTechniques.ts";
import { responseWords } from "../../../src/compare/responseWords.ts";
import { opening } from "../../../src/report/opening.ts";
import type { StudyAnswer } from "../../../src/report/studyAnswer.ts";
import { type ShownAnswer, shownAnswer } from "./shownAnswer.ts";

/** What was seen, how far it can be trusted, and whether any trial is in doubt: what the report begins with. */
export function AnswerCard({
  answer,
  shown = shownAnswer(answer, "all"),
  many = null,
  children,
}: {
  answer: StudyAnswer;
  /** All trials where not said. */
  shown?: ShownAnswer;
  /** Null with only two techniques. */
  many?: ManyTechniques | null;
  children?: ReactNode;
}) {
  const care = shown.used === "all" ? answer.care : answer.cantTell;
  const { headline, support, cares } = opening(shown.words, care, many, shown.comparison.smallestWorthwhile);
  return (
    <section className="card place-card answer" aria-label="Answer">
      <p className="answer-headline">{headline}</p>
      {support.map((sentence) => (
        <p key={sentence} className="quiet answer-support">
          {sentence}
        </p>
      ))}
      {cares.map((sentence) => (
        <p key={sentence} className="care answer-support">
          {sentence}
        </p>
      ))}
      {children}
    </section>
  );
}

/** What had no room before the first picture, and whether skaters respond alike. */
export function afterPicture(answer: StudyAnswer, shown: ShownAnswer, many: ManyTechniques | null): string[] {
  const care = shown.used === "all" ? answer.care : answer.cantTell;
  const alike = responseWords(shown.comparison);
  const { after } = opening(shown.words, care, many, shown.comparison.smallestWorthwhile);
  return [...after, ...(alike === null ? [] : [alike])];
}
