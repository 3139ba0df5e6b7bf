import { Button, NativeSelect } from "@mantine/core";
import {
  COMPARE_QUANTITIES,
  type CompareQuantity,
  QUANTITY_WORDS,
} from "../../../src/quantities/compared.ts";
import { missingInPlan, planWords } from "../../../src/study/lockedPlan.ts";
import type { Plan, Study } from "../../../src/study/types.ts";
import { lockThePlan } from "../../commands/plan/lockThePlan.ts";
import { setPlan } from "../../commands/plan/setPlan.ts";
import { attempt } from "../../store/attempt.ts";
import type { Session } from "../../store/session.ts";
import { Card } from "../shared/Card.tsx";
import { Field } from "../shared/Field.tsx";
import { tryCommand } from "../shared/tryCommand.ts";

/** What is decided before the first time is known, and locked: later changes are kept and told. */
export function LockedPlanCard({ session, study }: { session: Session; study: Study }) {
  const { plan = {} } = study;
  const { locked } = plan;
  const set = (change: Omit<Plan, "locked">, what: string) => tryCommand(session, setPlan, { change, what });
  const missing = missingInPlan(study);
  const begun = study.trials.some((t) => t.time !== null);
  return (
    <Card title="Decided beforehand" area="locked" note={locked ? "locked" : "optional"}>
      <div className="fields">
        <NativeSelect
          label="Compared first"
          size="sm"
          value={plan.quantity ?? "time_s"}
          data={COMPARE_QUANTITIES.map((q) => ({ value: q, label: QUANTITY_WORDS[q].name }))}
          onChange={(e) =>
            set({ quantity: e.currentTarget.value as CompareQuantity }, "what is compared first")
          }
        />
        <Field
          label="Who said what is worth having, and when"
          help="The difference itself stands under Techniques. Who decides what matters, before anybody knows the answer?"
          value={plan.saidBy ?? ""}
          placeholder="the head coach, on Monday"
          onCommit={(saidBy) => set({ saidBy: saidBy.trim() }, "who said what is worth having")}
        />
        <Field
          label="When to stop"
          help="So that nobody stops just when it looks good."
          value={plan.stopWhen ?? ""}
          placeholder="when all of the run order is skated"
          onCommit={(stopWhen) => set({ stopWhen: stopWhen.trim() }, "when to stop")}
        />
      </div>
      {locked ? (
        planWords(study, "names").map((sentence) => (
          <p key={sentence} className="order-note">
            {sentence}
          </p>
        ))
      ) : begun ? (
        <p className="quiet order-note">
          Times are in already, so there is no plan to lock any more. The next evening's can be.
        </p>
      ) : (
        <>
          <p className="quiet order-note">
            Locked before the first time, the question, the techniques, the skaters, the number of trials and
            what is worth having can still be changed, but the report tells each change and when it was made.
            {missing.length > 0 && ` Still missing: ${missing.join(", ")}.`}
          </p>
          <Button
            variant="default"
            disabled={missing.length > 0}
            onClick={() => attempt(session, lockThePlan, { date: new Date().toISOString() })}
          >
            Lock the plan
          </Button>
        </>
      )}
    </Card>
  );
}
