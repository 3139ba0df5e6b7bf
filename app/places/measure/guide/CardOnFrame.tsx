import { type ReactNode, useLayoutEffect, useRef } from "react";
import { useStore } from "zustand";
import { useSize } from "../../../frame/useSize.ts";
import { freerCorner, opposite, type Spot } from "../../../picture/topCorner.ts";
import type { Size } from "../../../picture/view.ts";
import type { Measuring } from "../core/useMeasure.ts";

/** How the picture lies around a card. */
export interface Around {
  /** A point is being put or moved. */
  readonly busy: boolean;
  /** Points a hand may want to press, in px of the stage. */
  readonly spots: readonly Spot[];
  readonly stage: Size;
}

interface CardProps extends Around {
  readonly m: Measuring;
  readonly children: ReactNode;
}

/**
 * The card that lies on the frame and says what to do next. It takes the top corner where it lies over fewer points,
 * unless the person has moved it aside on this frame.
 */
export function CardOnFrame({ m, busy, spots, stage, children }: CardProps) {
  const corner = useStore(m.ui, (s) => s.cardCorner);
  const heldOn = useStore(m.ui, (s) => s.cardHeldOn);
  const held = useStore(m.session, (s) => s.frame) === heldOn;
  const card = useRef<HTMLElement>(null);
  // Heard of, not asked for at every frame: to answer, the browser would lay the whole window out before the picture.
  const size = useSize(card);
  useLayoutEffect(() => {
    if (busy || held) return;
    const freer = freerCorner(corner, size, stage, spots);
    if (freer !== corner) m.ui.setState({ cardCorner: freer });
  });
  return (
    <section
      ref={card}
      className="guide"
      data-corner={corner}
      data-busy={busy ? "" : undefined}
      aria-label="What to do next"
    >
      {children}
    </section>
  );
}

export function MoveAside({ m }: { m: Measuring }) {
  const turn = () =>
    m.ui.setState((s) => ({
      cardCorner: opposite(s.cardCorner),
      cardHeldOn: m.session.getState().frame,
    }));
  return (
    <button type="button" className="plain-button" onClick={turn}>
      Move aside
    </button>
  );
}
