/**
 * Runs `work` when the window has nothing else to do, but no later than in `latestMs`; returns how to call it off.
 */
export function whenIdle(work: () => void, latestMs = 1000): () => void {
  if (typeof requestIdleCallback !== "function") {
    const timer = setTimeout(work, Math.min(100, latestMs));
    return () => clearTimeout(timer);
  }
  const id = requestIdleCallback(work, { timeout: latestMs });
  return () => cancelIdleCallback(id);
}
