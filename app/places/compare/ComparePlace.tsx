import { Button } from "@mantine/core";
import { useMemo, useState } from "react";
import { useStore } from "zustand";
import type { CompareQuantity } from "../../../src/quantities/compared.ts";
import { type CompareDetails, compareDetails } from "../../../src/report/compareDetails.ts";
import { figureTitle, type StudyFigures, studyFigures } from "../../../src/report/figures/studyFigures.ts";
import { measuredAnswer, type StudyAnswer, studyAnswer } from "../../../src/report/studyAnswer.ts";
import { planWords } from "../../../src/study/lockedPlan.ts";
import type { Study, WholeStudy } from "../../../src/study/types.ts";
import { StudyFigure } from "../../charts/StudyFigure.tsx";
import { wholeReading } from "../../store/readings.ts";
import { goToPlace, type Session } from "../../store/session.ts";
import { Card } from "../shared/Card.tsx";
import type { PlaceProps } from "../shared/PlaceProps.ts";
import { AnswerCard, afterPicture } from "./AnswerCard.tsx";
import { CheckTable } from "./CheckTable.tsx";
import { Chooser } from "./Chooser.tsx";
import { Details } from "./Details.tsx";
import { NumbersTable } from "./NumbersTable.tsx";
import { SensitivityTable } from "./SensitivityTable.tsx";
import { SideBySide } from "./SideBySide.tsx";
import { SkatersCard } from "./SkatersCard.tsx";
import { shownAnswer, type TrialsUsed } from "./shownAnswer.ts";
import { TrialsSwitch } from "./TrialsSwitch.tsx";
import "../shared/places.css";
import "./compare.css";

/** What differs between two techniques: the sentence first, the skaters, then the numbers. */
export function ComparePlace({ session, shell }: PlaceProps) {
  const whole = useStore(session, (s) => s.whole);
  const [wanted, setQuantity] = useState<CompareQuantity | null>(null);
  const answer = useMemo(() => {
    const readingOf = (trial: string) => wholeReading(whole, trial);
    const of = studyAnswer(whole, wanted ?? whole.study.plan?.quantity ?? "time_s", "names", readingOf);
    // Nobody asked for what is not there yet.
    return (wanted === null && measuredAnswer(whole, of, "names", readingOf)) || of;
  }, [whole, wanted]);
  const quantity = answer?.all.quantity ?? "time_s";
  return (
    <div className="place">
      <header className="place-head">
        <h1>{whole.study.question || "Compare"}</h1>
        {answer && (
          <Chooser
            session={session}
            study={whole.study}
            answer={answer}
            quantity={quantity}
            onQuantity={setQuantity}
          >
            <SideBySide session={session} shell={shell} whole={whole} answer={answer} />
          </Chooser>
        )}
      </header>
      {answer ? (
        <Answer answer={answer} session={session} whole={whole} />
      ) : (
        <section className="card place-card">
          <p className="empty">
            A comparison needs two techniques and skaters who skated both. Plan is where they are named.
          </p>
          <Button mt="sm" onClick={() => goToPlace(session, "plan")}>
            Go to Plan
          </Button>
        </section>
      )}
    </div>
  );
}

/** A locked plan, what was changed of it, and that somebody looks early. */
function PlanSaid({ study }: { study: Study }) {
  return planWords(study, "names").map((sentence) => (
    <p key={sentence} className="quiet plan-said">
      {sentence}
    </p>
  ));
}

function Answer({ answer, session, whole }: { answer: StudyAnswer; session: Session; whole: WholeStudy }) {
  const [wanted, setWanted] = useState<TrialsUsed>("all");
  const { asAskedOnly, check } = answer;
  const shown = useMemo(() => shownAnswer(answer, wanted), [answer, wanted]);
  const { comparison } = shown;
  const details = useMemo(
    () => detailsOf(whole, comparison.quantity, answer, shown.used),
    [whole, comparison.quantity, answer, shown.used],
  );
  const figures = useMemo(
    () =>
      details &&
      studyFigures({
        ...{ whole, names: "names", details, measured: null, answer: { ...answer, all: comparison } },
        readingOf: (trial) => wholeReading(whole, trial),
      }),
    [whole, answer, comparison, details],
  );
  const worthKnowing = [
    ...(details?.contradictions ?? []),
    ...(details?.unlike ?? []),
    ...shown.worthKnowing.map((w) => w.text),
  ];
  return (
    <>
      <PlanSaid study={whole.study} />
      <AnswerCard answer={answer} shown={shown} many={details?.many}>
        {answer.all.n > 0 && <TrialsSwitch answer={answer} used={shown.used} onUsed={setWanted} />}
      </AnswerCard>
      <div className="compare-grid">
        <SkatersCard
          session={session}
          comparison={comparison}
          tested={!shown.words.notTested}
          sentences={afterPicture(answer, shown, details?.many ?? null)}
        />
        <Card title="Did they do what was asked?" area="check">
          {figures?.techniqueCheck ? (
            <StudyFigure figure={figures.techniqueCheck} />
          ) : (
            <p className="empty">
              No trial is measured yet. Add a clip in Times, then set the scale and mark a few strides in
              Measure.
            </p>
          )}
          {details && <Skated skated={details.achieved} />}
        </Card>
        <Card title="Each trial against what was asked" area="trials">
          <CheckTable check={check} />
        </Card>
        <div className="compare-sensitivity">
          {answer.sensitivity.length > 1 && (
            <Card title="Would leaving something out change it?" note="mean difference ± 95 % interval">
              <SensitivityTable answer={answer} />
            </Card>
          )}
        </div>
        <Card title="The numbers" area="numbers">
          <details className="chart-table">
            <summary>Tests, effect sizes and models</summary>
            <NumbersTable all={answer.all} asAskedOnly={asAskedOnly} />
          </details>
        </Card>
        {figures && <Pictures figures={figures} answer={answer} />}
        {details && (
          <Details
            whole={whole}
            details={details}
            timeAgainst={figures?.timeAgainst ?? null}
            quantity={comparison.quantity}
            answer={answer}
          />
        )}
        {worthKnowing.length > 0 && (
          <Card title="Worth knowing" area="warnings">
            <ul className="problem-list">
              {worthKnowing.map((text) => (
                <li key={text}>{text}</li>
              ))}
            </ul>
          </Card>
        )}
      </div>
    </>
  );
}

/** What else there is to see, two beside each other where there is room. */
function Pictures({ figures, answer }: { figures: StudyFigures; answer: StudyAnswer }) {
  return (
    <div className="compare-pictures">
      {(["tracks", "sides", "orderOfDay", "strides"] as const).map((which) => {
        const figure = figures[which];
        return (
          figure && (
            <Card key={which} title={figureTitle(which, answer)}>
              <StudyFigure figure={figure} />
            </Card>
          )
        );
      })}
    </div>
  );
}

function detailsOf(
  whole: WholeStudy,
  quantity: CompareQuantity,
  answer: StudyAnswer,
  used: TrialsUsed,
): CompareDetails | null {
  const wrong = answer.check.trials.filter((t) => t.asked.answer === "no").map((t) => t.trial.id);
  const without = new Set(used === "without" ? wrong : []);
  return compareDetails(whole, quantity, "names", (trial) => wholeReading(whole, trial), without);
}

/** How much of the difference that the techniques were to show was skated. */
function Skated({ skated }: { skated: CompareDetails["achieved"] }) {
  const said = skated.value === null ? [skated.why] : skated.words;
  return said.map((sentence) => (
    <p key={sentence} className={skated.value === null ? "quiet skated" : "skated"}>
      {sentence}
    </p>
  ));
}
