import type { EventFrame } from "../../../../src/study/types.ts";

/** How fast a clip is played: 1 = as in life, whatever its camera's rate. */
const PACES = [1, 0.5, 0.25] as const;
export type Pace = (typeof PACES)[number];

/** The next slower pace; after the slowest the fastest again. */
export function slower(pace: Pace): Pace {
  return PACES[PACES.indexOf(pace) + 1] ?? PACES[0];
}

/** Frames that are played, both included. */
export interface Played {
  readonly first: number;
  readonly last: number;
}

export interface Playhead {
  readonly frame: number;
  /** Clip seconds: how far the playing has come, at or a little past the frame's own time. */
  readonly clock: number;
}

/**
 * Where playing has come after some time: the last frame whose own time is not past the clock. It waits at a frame whose
 * next one is not there yet, and never goes past the last.
 *
 * @param seconds clip seconds that have gone by
 * @param timeOf a frame's own clip seconds; undefined while it is not known
 * @returns null at the end
 */
export function playOn(
  { frame, clock }: Playhead,
  seconds: number,
  { last }: Played,
  timeOf: (frame: number) => number | undefined,
): Playhead | null {
  if (frame >= last) return null;
  const now = clock + seconds;
  let at = frame;
  for (let next = timeOf(at + 1); at < last && next !== undefined && next <= now; next = timeOf(at + 1)) at++;
  // What is not there yet is not made up for later.
  return { frame: at, clock: timeOf(at + 1) === undefined ? (timeOf(at) ?? clock) : now };
}

/**
 * The stride around a frame, to see it over and over: from a blade's leaving the ice to its next, so its recovery and its
 * push; where that is not picked, to the other blade's. null: no two blade-offs tell one.
 */
export function strideAround(events: readonly EventFrame[], frame: number): Played | null {
  const offs = events.filter((e) => e.event === "blade_off").sort((a, b) => a.frame - b.frame);
  const from = offs.findLast((e) => e.frame <= frame) ?? offs[0];
  if (!from) return null;
  const after = offs.filter((e) => e.frame > from.frame);
  const to = after.find((e) => e.side === from.side) ?? after[0];
  if (to) return { first: from.frame, last: to.frame };
  // The last one: the stride that ends with it.
  const before = offs.filter((e) => e.frame < from.frame);
  const start = before.findLast((e) => e.side === from.side) ?? before.at(-1);
  return start ? { first: start.frame, last: from.frame } : null;
}
