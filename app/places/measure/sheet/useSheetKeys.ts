import { useEffect, useRef } from "react";
import { belongsElsewhere } from "../../../frame/keyOwner.ts";

export interface SheetActs {
  take(): void;
  step(by: number): void;
  unseen(): void;
  next(): void;
  nudge(dx: number, dy: number): void;
  leaveOut(): void;
  close(): void;
}

const ARROWS: Record<string, readonly [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** The keys of the stride sheet, in place of those of the picture while it is open. */
export function useSheetKeys(acts: SheetActs): void {
  const latest = useRef(acts);
  latest.current = acts;
  useEffect(() => {
    const onKey = (e: KeyboardEvent) => {
      if (belongsElsewhere(e) || e.key === "?" || e.key.startsWith("Page")) return;
      // The picture's own keys must not mean anything while it is not there.
      e.stopImmediatePropagation();
      if (act(e, latest.current)) e.preventDefault();
    };
    window.addEventListener("keydown", onKey, true);
    return () => window.removeEventListener("keydown", onKey, true);
  }, []);
}

function act(e: KeyboardEvent, acts: SheetActs): boolean {
  const arrow = ARROWS[e.key];
  if (arrow) {
    const by = e.shiftKey ? 1 : 0.1;
    if (e.altKey) acts.nudge(arrow[0] * by, arrow[1] * by);
    else if (arrow[0] !== 0) acts.step(arrow[0]);
    return true;
  }
  const key = e.key.toLowerCase();
  if (key === "enter" && !e.repeat) acts.take();
  else if (key === "n") acts.unseen();
  else if (key === "x") acts.next();
  else if (key === "delete") acts.leaveOut();
  else if (key === "u" || key === "escape") acts.close();
  else return false;
  return true;
}
