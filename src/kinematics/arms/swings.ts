import type { EventFrame, Side } from "../../study/types.ts";

/** An arm's extreme and its next one of the other kind. */
export interface SwingFrames<E> {
  readonly front: E;
  readonly back: E;
  /** Middle of its two frames: it tells which stride the swing belongs to. */
  readonly middle: number;
}

/** One arm's extremes in the order they come. */
export function armExtremes(events: readonly EventFrame[], side: Side): EventFrame[] {
  return events
    .filter((e) => e.side === side && (e.event === "arm_front" || e.event === "arm_back"))
    .sort((a, b) => a.frame - b.frame);
}

/** Every swing between neighbouring extremes; two of the same kind one after the other have none between them. */
export function swingsBetween(extremes: readonly EventFrame[]): SwingFrames<EventFrame>[] {
  return extremes.flatMap((from, k) => {
    const to = extremes[k + 1];
    if (!to || from.event === to.event) return [];
    const middle = (from.frame + to.frame) / 2;
    return [
      from.event === "arm_front" ? { front: from, back: to, middle } : { front: to, back: from, middle },
    ];
  });
}

/** The stride during which a frame falls; after the last blade-off it is the last. Undefined where there is none. */
export function strideAt<S>(
  strides: readonly S[],
  blade_off_frame: (stride: S) => number,
  frame: number,
): S | undefined {
  return strides.find((s) => frame <= blade_off_frame(s)) ?? strides.at(-1);
}
