import type { Measuring } from "./useMeasure.ts";

/** The frame that is wanted is on the canvas, or cannot be had. */
export function settled(m: Measuring): boolean {
  const { current } = m.onScreen;
  return current !== null && (current.failed || current.frame === m.session.getState().frame);
}
