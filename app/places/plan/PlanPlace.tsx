import { lazy, Suspense } from "react";
import { useStore } from "zustand";
import { CAUTIONS } from "../../../src/report/cautions.ts";
import { setQuestion } from "../../commands/plan/setQuestion.ts";
import { Card } from "../shared/Card.tsx";
import { Field } from "../shared/Field.tsx";
import type { PlaceProps } from "../shared/PlaceProps.ts";
import { tryCommand } from "../shared/tryCommand.ts";
import { useLibrary } from "../shared/useLibrary.ts";
import { CameraCard } from "./camera/CameraCard.tsx";
import { EveningCard } from "./EveningCard.tsx";
import { LaneCard } from "./LaneCard.tsx";
import { LockedPlanCard } from "./LockedPlanCard.tsx";
import { RunOrderCard } from "./RunOrderCard.tsx";
import { RunSheet } from "./RunSheet.tsx";
import { SkatersCard } from "./SkatersCard.tsx";
import { TechniquesCard } from "./TechniquesCard.tsx";
import "../shared/places.css";
import "./plan.css";

/** Comes after the rest: its distributions are heavy. */
const HowManyCard = lazy(async () => ({ default: (await import("./HowManyCard.tsx")).HowManyCard }));

/** The test on paper: what is asked, of whom, over which lane, in which order. */
export function PlanPlace({ session, shell }: PlaceProps) {
  const kept = useLibrary(shell);
  const study = useStore(session, (s) => s.whole.study);
  const readOnly = useStore(session, (s) => s.readOnly);
  return (
    <>
      <div className="place screen-only">
        <header className="place-head">
          <h1>Plan</h1>
        </header>
        <div className="plan-grid">
          <Card title="Question" area="question">
            <Field
              aria-label="Question"
              size="md"
              value={study.question}
              placeholder="What should the day answer? For example: does open recovery beat close recovery over 30 m?"
              onCommit={(question) => tryCommand(session, setQuestion, { question })}
            />
          </Card>
          <LaneCard session={session} study={study} kept={kept} />
          <TechniquesCard session={session} study={study} kept={kept} />
          <SkatersCard session={session} study={study} kept={kept} />
          <RunOrderCard session={session} />
          <LockedPlanCard session={session} study={study} />
          <EveningCard session={session} study={study} />
          <CameraCard session={session} study={study} readOnly={readOnly} kept={kept} />
          <Suspense fallback={null}>
            <HowManyCard study={study} />
          </Suspense>
          <Card title="Before anybody skates" area="cautions">
            <ul className="cautions">
              {CAUTIONS.map((caution) => (
                <li key={caution}>{caution}</li>
              ))}
            </ul>
          </Card>
        </div>
      </div>
      <RunSheet study={study} />
    </>
  );
}
