import { useEffect } from "react";
import type { Session } from "../store/session.ts";
import { redoAndSay, undoAndSay } from "../store/undoing.ts";
import { typing } from "./keyOwner.ts";

/** Ctrl+Z and Ctrl+Shift+Z (Ctrl+Y) everywhere but in text being typed, which has its own undo. */
export function useUndoKeys(session: Session): void {
  useEffect(() => {
    const onKey = (e: KeyboardEvent) => {
      if (!(e.ctrlKey || e.metaKey) || e.altKey) return;
      if (typing(e.target)) return;
      const key = e.key.toLowerCase();
      if (key !== "z" && key !== "y") return;
      e.preventDefault();
      if (key === "y" || e.shiftKey) redoAndSay(session);
      else undoAndSay(session);
    };
    window.addEventListener("keydown", onKey);
    return () => window.removeEventListener("keydown", onKey);
  }, [session]);
}
