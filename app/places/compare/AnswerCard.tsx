import type { StudyAnswer } from "../../../src/report/studyAnswer.ts";

/** What was seen, how far it can be trusted, and which trials were not what they were meant to be. */
export function AnswerCard({ answer }: { answer: StudyAnswer }) {
  return (
    <section className="card place-card answer" aria-label="Answer">
      <p className="answer-headline">{answer.words.headline}</p>
      {answer.words.support.map((sentence) => (
        <p key={sentence} className="quiet answer-support">
          {sentence}
        </p>
      ))}
      {answer.notAsAsked && <p className="care answer-support">{answer.notAsAsked}</p>}
      {answer.cantTell && <p className="quiet answer-support">{answer.cantTell}</p>}
    </section>
  );
}
