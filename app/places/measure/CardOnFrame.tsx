import type { ReactNode } from "react";
import { useStore } from "zustand";
import type { MeasureStore } from "./measureState.ts";

/** The card that lies on the frame and says what to do next; it steps aside on request. */
export function CardOnFrame({
  ui,
  busy,
  children,
}: {
  ui: MeasureStore;
  busy: boolean;
  children: ReactNode;
}) {
  const corner = useStore(ui, (s) => s.cardCorner);
  return (
    <section
      className="guide"
      data-corner={corner}
      data-busy={busy ? "" : undefined}
      aria-label="What to do next"
    >
      {children}
    </section>
  );
}

export function MoveAside({ ui }: { ui: MeasureStore }) {
  const turn = () => ui.setState((s) => ({ cardCorner: s.cardCorner === "left" ? "right" : "left" }));
  return (
    <button type="button" className="plain-button" onClick={turn}>
      Move aside
    </button>
  );
}
