import type { ClipIndex } from "../../src/study/exchange.ts";

/** Frames from the first to before the second. */
export type FrameRange = readonly [from: number, to: number];

/** The frames that can be shown now, in order: those prepared one after the other, then those after a jump. */
export function readyRanges(index: ClipIndex): FrameRange[] {
  const first = firstFrame(index);
  const after = index.ahead.map(({ from, times }): FrameRange => [from, from + times.length]);
  return index.ready > first ? [[first, index.ready], ...after] : after;
}

export function isReady(ranges: readonly FrameRange[], frame: number): boolean {
  return ranges.some(([from, to]) => frame >= from && frame < to);
}

/** The frame's own time in the clip, seconds; undefined until it is known. */
export function timeOf(index: ClipIndex | null, frame: number): number | undefined {
  if (!index) return undefined;
  const inOrder = index.times[frame];
  if (inOrder !== undefined) return inOrder;
  const run = index.ahead.find(({ from, times }) => frame >= from && frame < from + times.length);
  return run?.times[frame - run.from];
}

/** The decoder may have put this picture together from others, so nothing may be marked on it. */
export function isDoubtful(index: ClipIndex | null, frame: number): boolean {
  return index !== null && isReady(index.doubtful, frame);
}

/** First frame one can go to. */
export function firstFrame(index: ClipIndex | null): number {
  return index?.part?.first ?? 0;
}

/** Last frame there is to go to; infinite while it is not known. */
export function knownEnd(index: ClipIndex | null): number {
  return index?.countIsExact || index?.part ? lastFrame(index) : Infinity;
}

/** Last frame one can go to: the end of the clip or of its part, or as far as is known of it. */
export function lastFrame(index: ClipIndex | null): number {
  if (!index) return 0;
  const end = Math.max(0, (index.countIsExact ? index.count : Math.max(index.ready, index.count)) - 1);
  return index.part ? Math.min(index.part.last, Math.max(end, index.part.first)) : end;
}
