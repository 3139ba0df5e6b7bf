import { Button } from "@mantine/core";
import { useStore } from "zustand";
import { confirmIceReference } from "../../../commands/ice/confirmIceReference.ts";
import { attempt } from "../../../store/attempt.ts";
import { standing, toTask } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { type Around, CardOnFrame, MoveAside } from "../guide/CardOnFrame.tsx";
import { goToFrame } from "../guide/steps.ts";
import { framesWithoutIce } from "./movingAdvice.ts";
import { scaleAdvice } from "./scaleAdvice.ts";

/** The question on the frame while the scale is being set. */
export function ScaleCard({ m, around }: { m: Measuring; around: Around }) {
  const tool = useStore(m.ui, (s) => s.tool);
  const frame = useStore(m.session, (s) => s.frame);
  const { iceReference, events } = m.marks;
  const { title, hint, done } = scaleAdvice(iceReference, standing(tool, m.marks), frame, events);
  const [next] = framesWithoutIce(iceReference, events).filter((f) => f !== frame);
  if (m.readOnly) return null;
  return (
    <CardOnFrame m={m} {...around}>
      <div className="guide-question" aria-live="polite">
        <h2>{title}</h2>
        <p>{hint}</p>
      </div>
      <div className="row">
        <Button variant={done ? "filled" : "default"} onClick={() => m.ui.setState(toTask("strides"))}>
          {done ? "Scale is done: mark strides" : "Leave the scale for now"}
        </Button>
        {next !== undefined && (
          <Button variant="light" onClick={() => goToFrame(m.session, m.index, next)}>
            Event frame {next} needs ice points
          </Button>
        )}
        {iceReference?.copiedFrom !== undefined && (
          <Button onClick={() => attempt(m.session, confirmIceReference, { trial: m.trial.id })}>
            Every square sits on its place
          </Button>
        )}
        <MoveAside m={m} />
      </div>
    </CardOnFrame>
  );
}
