import { Button, NativeSelect } from "@mantine/core";
import type { ReactNode } from "react";
import type { CompareQuantity } from "../../../src/quantities/compared.ts";
import { COMPARE_QUANTITIES, QUANTITY_WORDS } from "../../../src/quantities/compared.ts";
import type { StudyAnswer } from "../../../src/report/studyAnswer.ts";
import { techniqueLabels } from "../../../src/study/labels.ts";
import type { Study } from "../../../src/study/types.ts";
import { capital } from "../../../src/words.ts";
import { setCompared } from "../../commands/plan/setCompared.ts";
import { attempt } from "../../store/attempt.ts";
import type { Session } from "../../store/session.ts";

/** Which quantity of which two techniques is compared. */
export function Chooser({
  session,
  study,
  answer,
  quantity,
  onQuantity,
  children,
}: {
  session: Session;
  study: Study;
  answer: StudyAnswer;
  quantity: CompareQuantity;
  onQuantity: (quantity: CompareQuantity) => void;
  children: ReactNode;
}) {
  const techniques = [...techniqueLabels(study)].map(([value, label]) => ({ value, label }));
  const [a, b] = [answer.a.id, answer.b.id];
  return (
    <div className="place-actions">
      <NativeSelect
        aria-label="Quantity that is compared"
        value={quantity}
        data={COMPARE_QUANTITIES.map((q) => ({ value: q, label: capital(QUANTITY_WORDS[q].name) }))}
        onChange={(e) => onQuantity(e.currentTarget.value as CompareQuantity)}
      />
      <NativeSelect
        aria-label="Technique that is compared"
        value={b}
        data={techniques.filter((t) => t.value !== a)}
        onChange={(e) => attempt(session, setCompared, { a, b: e.currentTarget.value })}
      />
      <span className="quiet">against</span>
      <NativeSelect
        aria-label="Technique it is compared against"
        value={a}
        data={techniques.filter((t) => t.value !== b)}
        onChange={(e) => attempt(session, setCompared, { a: e.currentTarget.value, b })}
      />
      <Button variant="default" onClick={() => attempt(session, setCompared, { a: b, b: a })}>
        Swap
      </Button>
      {children}
    </div>
  );
}
