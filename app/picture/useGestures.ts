import { type PointerEvent, type RefObject, useEffect, useRef, useState } from "react";
import type { StoreApi } from "zustand/vanilla";
import type { PicturePoint } from "../../src/ice/types.ts";
import { type DrawnMark, markAt, rounded } from "./drawnMark.ts";
import type { Pointer } from "./Magnifier.tsx";
import { freeCorner } from "./topCorner.ts";
import { panBy, type Size, toPicture, type View } from "./view.ts";

const REACH = 12;
/** With Shift a mark follows at a fifth of the pointer's way. */
const SLOW = 5;

type Gesture =
  | { readonly kind: "pan"; x: number; y: number; moved: boolean }
  | { readonly kind: "place"; at: PicturePoint }
  | { readonly kind: "move"; readonly id: string; at: PicturePoint; moved: boolean };

export interface GestureProps {
  readonly picture: Size;
  readonly stage: Size;
  readonly view: View;
  setView(view: View): void;
  readonly marks: readonly DrawnMark[];
  /** A press puts a point here; marks under the pointer are then left alone unless Ctrl is held. */
  readonly placing: boolean;
  /** False while the exact frame is not there or is closed: nothing may be put or moved. */
  readonly exact: boolean;
  onPlace(at: PicturePoint): void;
  onMove(id: string, at: PicturePoint): void;
  onSelect(id: string | null): void;
  onRefused(): void;
}

/** What the pointer is about to do: a point being put, or a mark being moved. */
export type Draft = { readonly id: string | null; readonly at: PicturePoint } | null;

/** Pointer on the picture: press to put a point, drag to adjust it before letting go; drag a mark; drag the picture. */
export function useGestures(
  props: GestureProps,
  host: RefObject<HTMLDivElement | null>,
  pointer: StoreApi<Pointer>,
) {
  const gesture = useRef<Gesture | null>(null);
  const lastXY = useRef({ x: 0, y: 0 });
  const spaceHeld = useSpaceHeld();
  const [draft, setDraft] = useState<Draft>(null);
  const [grabbing, setGrabbing] = useState(false);

  const local = (e: PointerEvent) => {
    const box = host.current?.getBoundingClientRect();
    return { x: e.clientX - (box?.left ?? 0), y: e.clientY - (box?.top ?? 0) };
  };
  const look = (at: PicturePoint | null, x: number, y: number) =>
    pointer.setState(({ corner }) => ({ at, corner: freeCorner(corner, props.stage, { x, y }) }));

  function end() {
    gesture.current = null;
    setDraft(null);
    setGrabbing(false);
  }

  function onPointerDown(e: PointerEvent) {
    const { x, y } = local(e);
    lastXY.current = { x, y };
    const at = toPicture(props.view, x, y);
    if (e.button > 1) return;
    host.current?.setPointerCapture(e.pointerId);
    if (e.button === 1 || spaceHeld.current) {
      gesture.current = { kind: "pan", x, y, moved: false };
      setGrabbing(true);
      return;
    }
    const hit = props.placing && !e.ctrlKey ? null : markAt(props.marks, props.view, x, y, REACH);
    if (!hit && !props.placing) {
      gesture.current = { kind: "pan", x, y, moved: false };
      setGrabbing(true);
      return;
    }
    if (!props.exact) return props.onRefused();
    if (hit) {
      gesture.current = { kind: "move", id: hit.id, at: hit, moved: false };
      look(hit, x, y);
    } else {
      gesture.current = { kind: "place", at };
      setDraft({ id: null, at });
    }
  }

  function onPointerMove(e: PointerEvent) {
    const { x, y } = local(e);
    const dx = x - lastXY.current.x;
    const dy = y - lastXY.current.y;
    lastXY.current = { x, y };
    const now = gesture.current;
    if (!now) return look(toPicture(props.view, x, y), x, y);
    if (now.kind === "pan") {
      now.moved ||= Math.hypot(x - now.x, y - now.y) > 3;
      if (now.moved) props.setView(panBy(props.view, dx, dy, props.picture, props.stage));
      return;
    }
    const pace = props.view.scale * (e.shiftKey ? SLOW : 1);
    now.at = { xPx: now.at.xPx + dx / pace, yPx: now.at.yPx + dy / pace };
    if (now.kind === "move") now.moved = true;
    setDraft({ id: now.kind === "move" ? now.id : null, at: now.at });
    look(now.at, x, y);
  }

  function onPointerUp() {
    const now = gesture.current;
    end();
    if (!now) return;
    if (now.kind === "pan" && !now.moved) props.onSelect(null);
    if (now.kind === "place") props.onPlace(rounded(now.at));
    if (now.kind === "move") {
      props.onSelect(now.id);
      if (now.moved) props.onMove(now.id, rounded(now.at));
    }
  }

  return {
    draft,
    grabbing,
    handlers: {
      onPointerDown,
      onPointerMove,
      onPointerUp,
      onPointerCancel: end,
      onPointerLeave: () => !gesture.current && pointer.setState({ at: null }),
    },
    cancel: end,
  };
}

function useSpaceHeld(): RefObject<boolean> {
  const held = useRef(false);
  useEffect(() => {
    const down = (e: KeyboardEvent) => {
      if (e.code === "Space") held.current = true;
    };
    const up = (e: KeyboardEvent) => {
      if (e.code === "Space") held.current = false;
    };
    window.addEventListener("keydown", down);
    window.addEventListener("keyup", up);
    return () => {
      window.removeEventListener("keydown", down);
      window.removeEventListener("keyup", up);
    };
  }, []);
  return held;
}
