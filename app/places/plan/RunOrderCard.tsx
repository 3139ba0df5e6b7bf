import { Button, NumberInput } from "@mantine/core";
import { useMemo, useState } from "react";
import { useStore } from "zustand";
import { skaterLabels, techniqueLabels } from "../../../src/study/labels.ts";
import { orderBalance } from "../../../src/trials/orderBalance.ts";
import { runOrder } from "../../../src/trials/runOrder.ts";
import { makeRunOrder } from "../../commands/plan/makeRunOrder.ts";
import { hasData } from "../../commands/withStudy.ts";
import { attempt } from "../../store/attempt.ts";
import type { Session } from "../../store/session.ts";
import { Card } from "../shared/Card.tsx";
import { BalanceTable } from "./BalanceTable.tsx";
import { OrderTable } from "./OrderTable.tsx";

/** Makes and shows the order of the day. */
export function RunOrderCard({ session }: { session: Session }) {
  const whole = useStore(session, (s) => s.whole);
  const { study } = whole;
  const [repeats, setRepeats] = useState(study.runOrder?.repeats ?? 2);
  const [seed, setSeed] = useState(study.runOrder?.seed ?? 1);
  const skaters = useMemo(() => skaterLabels(study, "names"), [study]);
  const techniques = useMemo(() => techniqueLabels(study), [study]);
  const begun = study.trials.some((t) => hasData(whole, t));
  const missing =
    study.skaters.length === 0
      ? "Add the skaters first."
      : study.techniques.length < 2
        ? "Add two techniques first."
        : null;
  const notes = useMemo(() => {
    if (missing) return [];
    const ids = (list: readonly { readonly id: string }[]) => list.map((item) => item.id);
    return runOrder({ skaters: ids(study.skaters), techniques: ids(study.techniques), repeats, seed: 0 })
      .notes;
  }, [missing, study.skaters, study.techniques, repeats]);
  const rows = study.trials.slice().sort((a, b) => a.order - b.order);
  const balance = useMemo(
    () =>
      study.trials.length === 0
        ? null
        : orderBalance(
            study.trials
              .slice()
              .sort((a, b) => a.order - b.order)
              .map((t) => ({ skater: t.skater, technique: techniques.get(t.technique) ?? t.technique })),
            [...techniques.values()],
          ),
    [study.trials, techniques],
  );
  return (
    <Card
      title="Run order"
      area="order"
      note={rows.length > 0 ? `${rows.length} trials` : undefined}
      actions={
        <Button variant="default" disabled={rows.length === 0} onClick={() => window.print()}>
          Print run sheet
        </Button>
      }
    >
      <div className="order-make">
        <NumberInput
          label="Trials of each technique"
          size="sm"
          min={1}
          max={20}
          allowDecimal={false}
          value={repeats}
          onChange={(value) => setRepeats(Math.min(20, Math.max(1, Number(value) || 1)))}
        />
        <NumberInput
          label="Seed"
          description="The same seed gives the same order"
          inputWrapperOrder={["label", "input", "description"]}
          size="sm"
          min={0}
          max={999999}
          allowDecimal={false}
          value={seed}
          onChange={(value) => setSeed(Number(value) || 0)}
        />
        <Button
          disabled={missing !== null}
          onClick={() => attempt(session, makeRunOrder, { repeats, seed })}
          variant={rows.length > 0 ? "default" : "filled"}
        >
          {rows.length === 0
            ? "Make the run order"
            : begun
              ? "Add those who have not begun"
              : "Make it again"}
        </Button>
      </div>
      {missing && <p className="empty">{missing}</p>}
      {notes.map((note) => (
        <p key={note} className="quiet order-note">
          {note}
        </p>
      ))}
      {balance && <BalanceTable balance={balance} seed={study.runOrder?.seed ?? null} />}
      {rows.length > 0 && <OrderTable rows={rows} skaters={skaters} techniques={techniques} />}
    </Card>
  );
}
