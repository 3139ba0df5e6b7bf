import { useEffect, useState } from "react";

/** Longer than a frame at hand takes, shorter than anyone waits without wondering, ms. */
const LASTS_MS = 100;

/** True once `now` has been true for a moment; false at once when it no longer is. */
export function useLasting(now: boolean): boolean {
  const [lasted, setLasted] = useState(false);
  useEffect(() => {
    if (!now) return;
    const timer = setTimeout(() => setLasted(true), LASTS_MS);
    return () => {
      clearTimeout(timer);
      setLasted(false);
    };
  }, [now]);
  return now && lasted;
}
