import type { Measuring } from "./useMeasure.ts";

/** The frame that is wanted is on the canvas, or cannot be had. */
export function settled(m: Pick<Measuring, "session" | "onScreen">): boolean {
  const { current } = m.onScreen;
  return current !== null && (current.failed || current.frame === m.session.getState().frame);
}
