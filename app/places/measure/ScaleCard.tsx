import { Button } from "@mantine/core";
import { useStore } from "zustand";
import { scaleAdvice } from "./scaleAdvice.ts";
import type { Measuring } from "./useMeasure.ts";

/** The question on the frame while the scale is being set. */
export function ScaleCard({ m, busy }: { m: Measuring; busy: boolean }) {
  const ui = useStore(m.ui);
  const { title, hint, done } = scaleAdvice(m.marks.iceReference, ui);
  if (m.readOnly) return null;
  return (
    <section
      className="guide"
      data-corner={ui.cardCorner}
      data-busy={busy ? "" : undefined}
      aria-label="What to do next"
    >
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
        <button
          type="button"
          className="plain-button"
          onClick={() => m.ui.setState({ cardCorner: ui.cardCorner === "left" ? "right" : "left" })}
        >
          Move aside
        </button>
      </div>
    </section>
  );
}
