import { Button } from "@mantine/core";
import { useStore } from "zustand";
import { CardOnFrame, MoveAside } from "./CardOnFrame.tsx";
import { scaleAdvice } from "./scaleAdvice.ts";
import type { Measuring } from "./useMeasure.ts";

/** The question on the frame while the scale is being set. */
export function ScaleCard({ m, busy }: { m: Measuring; busy: boolean }) {
  const ui = useStore(m.ui);
  const { title, hint, done } = scaleAdvice(m.marks.iceReference, ui);
  if (m.readOnly) return null;
  return (
    <CardOnFrame ui={m.ui} busy={busy}>
      <div className="guide-question" aria-live="polite">
        <h2>{title}</h2>
        <p>{hint}</p>
      </div>
      <div className="row">
        <Button
          variant={done ? "filled" : "default"}
          onClick={() => m.ui.setState({ task: "strides", candidate: null, laying: null, lengthFrom: null })}
        >
          {done ? "Scale is done: mark strides" : "Leave the scale for now"}
        </Button>
        <MoveAside ui={m.ui} />
      </div>
    </CardOnFrame>
  );
}
