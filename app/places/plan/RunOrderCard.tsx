import { Button, NumberInput } from "@mantine/core";
import { useMemo, useState } from "react";
import { useStore } from "zustand";
import { skaterLabels, techniqueLabels } from "../../../src/study/labels.ts";
import { runOrder } from "../../../src/trials/runOrder.ts";
import { makeRunOrder } from "../../commands/makeRunOrder.ts";
import { hasData } from "../../commands/withStudy.ts";
import { attempt } from "../../store/attempt.ts";
import type { Session } from "../../store/session.ts";
import { Card } from "../shared/Card.tsx";

/** Makes and shows the order of the day. */
export function RunOrderCard({ session }: { session: Session }) {
  const whole = useStore(session, (s) => s.whole);
  const { study } = whole;
  const [repeats, setRepeats] = useState(2);
  const [seed, setSeed] = useState(1);
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
      {rows.length > 0 && (
        <div className="order-scroll">
          <table className="sheet">
            <thead>
              <tr>
                <th>No.</th>
                <th>Skater</th>
                <th>Technique</th>
                <th>Trial</th>
              </tr>
            </thead>
            <tbody>
              {rows.map((t) => (
                <tr key={t.id}>
                  <td className="number">{t.order}</td>
                  <td>{skaters.get(t.skater)}</td>
                  <td>{techniques.get(t.technique)}</td>
                  <td className="number">{t.repeat}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </Card>
  );
}
