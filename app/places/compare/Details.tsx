import { useMemo } from "react";
import type { CompareQuantity } from "../../../src/quantities/compared.ts";
import { QUANTITY_WORDS } from "../../../src/quantities/compared.ts";
import type { CompareDetails } from "../../../src/report/compareDetails.ts";
import type { Figure } from "../../../src/report/figures/figure.ts";
import type { StudyAnswer } from "../../../src/report/studyAnswer.ts";
import type { WholeStudy } from "../../../src/study/types.ts";
import { markingReliability } from "../../../src/trials/markingReliability.ts";
import { StudyFigure } from "../../charts/StudyFigure.tsx";
import { Card } from "../shared/Card.tsx";
import { TechniquesCard, WithinCard } from "./DetailsCard.tsx";
import { MarkingTable } from "./MarkingTable.tsx";
import { ReliabilityCard } from "./ReliabilityCard.tsx";
import { SidesCard } from "./SidesCard.tsx";

/** All techniques, time against what was measured, and how well it repeats. */
export function Details({
  whole,
  details,
  timeAgainst,
  quantity,
  answer,
}: {
  whole: WholeStudy;
  details: CompareDetails;
  timeAgainst: Figure | null;
  quantity: CompareQuantity;
  answer: StudyAnswer;
}) {
  const techniques = useMemo(() => [answer.a.id, answer.b.id], [answer]);
  const repeats = useMemo(() => markingReliability(whole), [whole]);
  const { name } = QUANTITY_WORDS[quantity];
  return (
    <div className="compare-details">
      {details.many && (
        <Card title="All techniques" note={name}>
          <TechniquesCard many={details.many} quantity={quantity} />
        </Card>
      )}
      <Card title="Time against what was measured" note="within skaters, on means of trials">
        {timeAgainst && <StudyFigure figure={timeAgainst} />}
        <WithinCard within={details.within} />
      </Card>
      <SidesCard
        whole={whole}
        techniques={techniques}
        quantity={quantity === "time_s" ? answer.check.quantity : quantity}
      />
      <Card title="How well it repeats" note={`${name}, repeats of one technique`}>
        <ReliabilityCard
          trials={details.trials}
          marking={details.marking}
          observers={details.observers}
          markSdPx={whole.study.markSdPx}
          quantity={quantity}
        />
        {repeats && <MarkingTable marking={repeats} />}
      </Card>
    </div>
  );
}
