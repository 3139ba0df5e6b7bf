import { Button } from "@mantine/core";
import { useMemo } from "react";
import type { Comparison } from "../../../src/compare/types.ts";
import { QUANTITY_WORDS } from "../../../src/quantities/compared.ts";
import { eachSkaterFigure } from "../../../src/report/figures/eachSkaterFigure.ts";
import { StudyFigure } from "../../charts/StudyFigure.tsx";
import { goToPlace, type Session } from "../../store/session.ts";
import { Card } from "../shared/Card.tsx";
import { SkaterTable } from "./SkaterTable.tsx";

interface Props {
  readonly session: Session;
  readonly comparison: Comparison;
  /** False: the trials were not of these techniques. */
  readonly tested: boolean;
  /** Sentences said under the picture. */
  readonly sentences: readonly string[];
}

/** Each skater's trials and difference; without any, what is missing. */
export function SkatersCard({ session, comparison, tested, sentences }: Props) {
  const words = QUANTITY_WORDS[comparison.quantity];
  const figure = useMemo(() => eachSkaterFigure(comparison, tested), [comparison, tested]);
  return (
    <Card title="Each skater: every trial, and the difference" area="skaters">
      {figure ? (
        <>
          <StudyFigure figure={figure} />
          {sentences.map((sentence) => (
            <p key={sentence}>{sentence}</p>
          ))}
          <SkaterTable comparison={comparison} />
        </>
      ) : (
        <div>
          <p className="empty">
            {comparison.quantity === "time_s"
              ? "As soon as one skater has a time with both techniques, the two are shown here side by side."
              : `As soon as one skater has a trial with a measured ${words.name} for both techniques, they are shown here.`}
          </p>
          <Button
            mt="sm"
            onClick={() => goToPlace(session, comparison.quantity === "time_s" ? "times" : "measure")}
          >
            {comparison.quantity === "time_s" ? "Go to Times" : "Go to Measure"}
          </Button>
        </div>
      )}
    </Card>
  );
}
