import { useEffect, useRef } from "react";
import { belongsElsewhere } from "../frame/keyOwner.ts";

interface ZoomKeys {
  zoomBy(factor: number): void;
  fit(): void;
  follow(): void;
  turnCursor(): void;
  cancel(): void;
}

/** The picture's keys: + and -, 0, Z, C, Escape. */
export function useZoomKeys(keys: ZoomKeys): void {
  const latest = useRef(keys);
  latest.current = keys;
  useEffect(() => {
    const onKey = (e: KeyboardEvent) => {
      if (belongsElsewhere(e) || e.altKey) return;
      // A letter is the same with Caps Lock on.
      const letter = e.key.toLowerCase();
      if (e.key === "+" || e.key === "=") latest.current.zoomBy(1.5);
      if (e.key === "-") latest.current.zoomBy(1 / 1.5);
      if (e.key === "0") latest.current.fit();
      if (letter === "z") latest.current.follow();
      if (letter === "c" && !e.repeat) latest.current.turnCursor();
      if (e.key === "Escape") latest.current.cancel();
    };
    window.addEventListener("keydown", onKey);
    return () => window.removeEventListener("keydown", onKey);
  }, []);
}
