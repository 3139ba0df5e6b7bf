/** No later than this, however busy the window is. */
const LATEST_MS = 1000;

/** Runs `work` when the window has nothing else to do; returns how to call it off. */
export function whenIdle(work: () => void): () => void {
  if (typeof requestIdleCallback !== "function") {
    const timer = setTimeout(work, 100);
    return () => clearTimeout(timer);
  }
  const id = requestIdleCallback(work, { timeout: LATEST_MS });
  return () => cancelIdleCallback(id);
}
