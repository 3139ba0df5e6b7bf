import type { EventFrame, EventName } from "../../../../src/study/types.ts";
import { type Asked, type Depth, nextAsked, orderedEvents } from "../guide/sequence.ts";

/**
 * Where to look for the next event frame: the rhythm of the events already picked, or a typical sprint's before
 * there are two of a kind. Only a place to start looking: nothing is measured from it.
 */

/** Typical real seconds from the event before; common practice, no source; only for the first few. */
const TYPICAL_S: Record<EventName, number> = {
  blade_off: 0.07,
  recovery_min: 0.13,
  blade_on: 0.13,
  arm_front: 0.3,
  arm_back: 0.02,
};

const TYPICAL_QUICK_ON_S = 0.26;

/** Clip seconds from the event before `next`, from gaps of the same kind; the typical one when there are none. */
export function usualGap(
  events: readonly EventFrame[],
  next: Asked,
  depth: Depth,
  speedFactor: number,
): { readonly seconds: number; readonly fromHere: boolean } {
  const ordered = orderedEvents(events, depth);
  const gaps: number[] = [];
  for (let i = 1; i < ordered.length; i++) {
    const [before, after] = [ordered[i - 1] as EventFrame, ordered[i] as EventFrame];
    const expected = nextAsked(before, depth);
    if (after.event === next.event && expected.event === after.event && expected.side === after.side) {
      gaps.push(after.time - before.time);
    }
  }
  gaps.sort((a, b) => a - b);
  const middle = gaps[Math.floor((gaps.length - 1) / 2)];
  if (middle !== undefined) return { seconds: middle, fromHere: true };
  const typical = depth === "quick" && next.event === "blade_on" ? TYPICAL_QUICK_ON_S : TYPICAL_S[next.event];
  return { seconds: typical * speedFactor, fromHere: false };
}

/** The frame whose time is nearest `seconds`; times increase. */
export function frameAt(times: readonly number[], seconds: number): number {
  let low = 0;
  let high = times.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((times[middle] as number) < seconds) low = middle + 1;
    else high = middle;
  }
  const before = low - 1;
  if (before < 0) return low;
  return seconds - (times[before] as number) <= (times[low] as number) - seconds ? before : low;
}

/** Up to `count` events to come after the last one picked, with the frames to look at first. */
export function proposals(
  events: readonly EventFrame[],
  times: readonly number[],
  depth: Depth,
  speedFactor: number,
  count: number,
): readonly (Asked & { readonly frame: number })[] {
  const last = orderedEvents(events, depth).at(-1);
  const end = times.at(-1);
  if (!last || end === undefined) return [];
  const found: (Asked & { frame: number })[] = [];
  let at = last.time;
  let asked: Asked = last;
  for (let i = 0; i < count; i++) {
    asked = nextAsked(asked, depth);
    at += usualGap(events, asked, depth, speedFactor).seconds;
    if (at > end) break;
    found.push({ ...asked, frame: Math.max(last.frame + 1, frameAt(times, at)) });
  }
  return found;
}
