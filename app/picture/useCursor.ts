import { type KeyboardEvent, type RefObject, useEffect, useRef, useState } from "react";
import type { StoreApi } from "zustand/vanilla";
import type { PicturePoint } from "../../src/ice/types.ts";
import { rounded } from "./drawnMark.ts";
import type { Pointer } from "./Magnifier.tsx";
import { freeCorner } from "./topCorner.ts";
import { centreOn, type Size, toPicture, toStage, type View } from "./view.ts";

const ARROWS: Readonly<Record<string, readonly [dx: number, dy: number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** Zoomed in, the cursor stays at least this far from the stage's edge, CSS px. */
const MARGIN = 24;

export interface CursorProps {
  readonly picture: Size;
  readonly stage: Size;
  readonly view: View;
  setView(view: View): void;
  /** A point is asked for; otherwise the arrows keep stepping through frames. */
  readonly placing: boolean;
  /** False while the exact frame is not there or is closed: nothing may be put. */
  readonly exact: boolean;
  readonly frame: number;
  /** Where it begins; null: in the middle of what is shown. */
  start(): PicturePoint | null;
  onPlace(at: PicturePoint, to: null): void;
  onRefused(): void;
}

export interface Cursor {
  /** Picture px; null while it is off or nothing is asked for. */
  readonly at: PicturePoint | null;
  /** It lies where the last point was put: Enter again would put the next one on top of it. */
  readonly justPut: boolean;
  turn(): void;
  off(): void;
  onKeyDown(e: KeyboardEvent): void;
}

/** A cursor on the picture for those who have no pointer: arrows move it, Enter puts the point that is asked for. */
export function useCursor(
  props: CursorProps,
  host: RefObject<HTMLDivElement | null>,
  pointer: StoreApi<Pointer>,
): Cursor {
  const { picture, stage, view, placing, frame } = props;
  const [on, setOn] = useState(false);
  const [place, setPlace] = useState<PicturePoint | null>(null);
  const put = useRef<{ readonly at: PicturePoint; readonly frame: number } | null>(null);
  const at = on && placing ? place : null;
  const justPut = at !== null && put.current?.at === at && put.current.frame === frame;

  // biome-ignore lint/correctness/useExhaustiveDependencies: the magnifier follows the cursor and goes with it
  useEffect(() => {
    if (!on) return;
    const there = at && toStage(view, at);
    pointer.setState(({ corner }) => ({ at, corner: there ? freeCorner(corner, stage, there) : corner }));
    return () => pointer.setState({ at: null });
  }, [on, at, view, stage]);

  const off = () => setOn(false);
  function turn() {
    if (on) return off();
    host.current?.focus();
    setOn(true);
    const middle = toPicture(view, stage.width / 2, stage.height / 2);
    go(place ?? props.start() ?? middle);
  }

  function go(to: PicturePoint) {
    const next = rounded({
      xPx: Math.min(picture.width - 1, Math.max(0, to.xPx)),
      yPx: Math.min(picture.height - 1, Math.max(0, to.yPx)),
    });
    setPlace(next);
    const { x, y } = toStage(view, next);
    const inside = (v: number, size: number) => v >= MARGIN && v <= size - MARGIN;
    if (!inside(x, stage.width) || !inside(y, stage.height))
      props.setView(centreOn(next, view.scale, picture, stage));
  }

  function onKeyDown(e: KeyboardEvent) {
    if (at === null || e.ctrlKey || e.metaKey) return;
    const arrow = ARROWS[e.key];
    if (!arrow && e.key !== "Enter" && e.key !== "Escape") return;
    // The same keys step through frames and pick them where no cursor is.
    e.preventDefault();
    e.stopPropagation();
    if (arrow) {
      const by = e.shiftKey ? 1 : e.altKey ? 0.1 : 10;
      go({ xPx: at.xPx + arrow[0] * by, yPx: at.yPx + arrow[1] * by });
    } else if (e.key === "Escape") off();
    else if (!e.repeat && !justPut) {
      if (!props.exact) return props.onRefused();
      put.current = { at, frame };
      props.onPlace(at, null);
    }
  }
  return { at, justPut, turn, off, onKeyDown };
}
