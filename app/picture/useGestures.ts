import { type PointerEvent, type RefObject, useEffect, useRef, useState } from "react";
import type { StoreApi } from "zustand/vanilla";
import type { PicturePoint } from "../../src/ice/types.ts";
import { type DrawnMark, type DrawnPiece, markAt, pieceAt, rounded } from "./drawnMark.ts";
import type { Pointer } from "./Magnifier.tsx";
import { freeCorner } from "./topCorner.ts";
import { panBy, type Size, toPicture, type View } from "./view.ts";

const REACH = 12;
/** With Shift a mark follows at a fifth of the pointer's way. */
const SLOW = 5;
/** A press dragged farther than this, px of the screen, puts both ends of a piece; a hand that trembles puts one. */
const DRAWN_FROM = 6;

type Gesture =
  | { readonly kind: "pan"; x: number; y: number; moved: boolean }
  | { readonly kind: "place"; readonly x: number; readonly y: number; at: PicturePoint }
  /** From where it was pressed to where it is let go: a piece. */
  | { readonly kind: "draw"; readonly from: PicturePoint; at: PicturePoint }
  | { readonly kind: "move"; readonly id: string; at: PicturePoint; moved: boolean }
  | { readonly kind: "move-piece"; readonly piece: DrawnPiece; by: PicturePoint; at: PicturePoint };

/** Where a mark is to be moved. */
export interface Move {
  readonly id: string;
  readonly at: PicturePoint;
}

export interface GestureProps {
  readonly picture: Size;
  readonly stage: Size;
  readonly view: View;
  setView(view: View): void;
  readonly marks: readonly DrawnMark[];
  /** A press puts a point here; marks under the pointer are then left alone unless Ctrl is held. */
  readonly placing: boolean;
  /** What is put has another end, which the same press puts when it is dragged on. */
  readonly hasEnd: boolean;
  /** False while the exact frame is not there or is closed: nothing may be put or moved. */
  readonly exact: boolean;
  /** `to`: the other end of a piece; null = one point. */
  onPlace(at: PicturePoint, to: PicturePoint | null): void;
  onMove(id: string, at: PicturePoint): void;
  onMovePiece(moves: readonly [Move, Move]): void;
  onSelect(id: string | null): void;
  onRefused(): void;
}

interface DraftPoint {
  /** null: it is being put. */
  readonly id: string | null;
  readonly at: PicturePoint;
}

/** What the pointer is about to do: points being put, or marks being moved; one, or both ends of a piece. */
export type Draft = readonly [DraftPoint] | readonly [DraftPoint, DraftPoint] | null;

const shifted = (p: PicturePoint, by: PicturePoint): PicturePoint => ({
  xPx: p.xPx + by.xPx,
  yPx: p.yPx + by.yPx,
});

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
    const taking = !props.placing || e.ctrlKey;
    const hit = taking ? markAt(props.marks, props.view, x, y, REACH) : null;
    const piece = taking ? pieceAt(props.marks, props.view, x, y, REACH) : null;
    if (!hit && !piece && !props.placing) {
      gesture.current = { kind: "pan", x, y, moved: false };
      setGrabbing(true);
      return;
    }
    if (!props.exact) return props.onRefused();
    if (piece) {
      gesture.current = { kind: "move-piece", piece, by: { xPx: 0, yPx: 0 }, at };
      look(at, x, y);
    } else if (hit) {
      gesture.current = { kind: "move", id: hit.id, at: hit, moved: false };
      look(hit, x, y);
    } else {
      gesture.current = { kind: "place", x, y, at };
      setDraft([{ id: null, at }]);
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
    const by = { xPx: dx / pace, yPx: dy / pace };
    if (
      now.kind === "place" &&
      props.hasEnd &&
      !e.shiftKey &&
      Math.hypot(x - now.x, y - now.y) > DRAWN_FROM
    ) {
      const from = toPicture(props.view, now.x, now.y);
      gesture.current = { kind: "draw", from, at: toPicture(props.view, x, y) };
    } else now.at = shifted(now.at, by);
    if (now.kind === "move") now.moved = true;
    if (now.kind === "move-piece") now.by = shifted(now.by, by);
    const { current } = gesture;
    if (!current || current.kind === "pan") return;
    setDraft(draftOf(current));
    look(current.at, x, y);
  }

  function onPointerUp() {
    const now = gesture.current;
    end();
    if (!now) return;
    if (now.kind === "pan" && !now.moved) props.onSelect(null);
    if (now.kind === "place") props.onPlace(rounded(now.at), null);
    if (now.kind === "draw") props.onPlace(rounded(now.from), rounded(now.at));
    if (now.kind === "move-piece") movePiece(now);
    if (now.kind === "move") {
      props.onSelect(now.id);
      if (now.moved) props.onMove(now.id, rounded(now.at));
    }
  }

  function movePiece({ piece: [a, b], by }: Gesture & { readonly kind: "move-piece" }) {
    if (by.xPx === 0 && by.yPx === 0) return props.onSelect(a.id);
    const to = (end: DrawnMark): Move => ({ id: end.id, at: rounded(shifted(end, by)) });
    props.onMovePiece([to(a), to(b)]);
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

function draftOf(gesture: Exclude<Gesture, { readonly kind: "pan" }>): Draft {
  switch (gesture.kind) {
    case "place":
      return [{ id: null, at: gesture.at }];
    case "draw":
      return [
        { id: null, at: gesture.from },
        { id: null, at: gesture.at },
      ];
    case "move":
      return [{ id: gesture.id, at: gesture.at }];
    case "move-piece": {
      const [a, b] = gesture.piece;
      return [
        { id: a.id, at: shifted(a, gesture.by) },
        { id: b.id, at: shifted(b, gesture.by) },
      ];
    }
  }
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
