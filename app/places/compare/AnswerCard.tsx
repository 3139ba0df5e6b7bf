import type { ReactNode } from "react";
import type { StudyAnswer } from "../../../src/report/studyAnswer.ts";
import { type ShownAnswer, shownAnswer } from "./shownAnswer.ts";

/** What was seen, how far it can be trusted, and which trials were not what they were meant to be. */
export function AnswerCard({
  answer,
  shown = shownAnswer(answer, "all"),
  children,
}: {
  answer: StudyAnswer;
  /** All trials where not said. */
  shown?: ShownAnswer;
  children?: ReactNode;
}) {
  return (
    <section className="card place-card answer" aria-label="Answer">
      <p className="answer-headline">{shown.words.headline}</p>
      {shown.words.support.map((sentence) => (
        <p key={sentence} className="quiet answer-support">
          {sentence}
        </p>
      ))}
      {shown.used === "all" &&
        [answer.doubtedTimes, answer.notAsAsked].map(
          (sentence) =>
            sentence && (
              <p key={sentence} className="care answer-support">
                {sentence}
              </p>
            ),
        )}
      {answer.cantTell && <p className="quiet answer-support">{answer.cantTell}</p>}
      {children}
    </section>
  );
}
