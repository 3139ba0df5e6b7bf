import type { EventFrame } from "../../../../src/study/types.ts";
import { agenda } from "../guide/agenda.ts";
import type { Rhythm } from "../guide/rhythm.ts";
import type { Asked, Depth } from "../guide/sequence.ts";

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

export type Proposal = Asked & { readonly frame: number };

interface Picked {
  readonly events: readonly EventFrame[];
  /** Clip seconds of the frames that are ready. */
  readonly times: readonly number[];
  readonly depth: Depth;
  readonly speedFactor: number;
  /** Of the study's other trials. */
  readonly others?: Rhythm | null;
}

/**
 * Up to `count` events to come after the last stride picked, with the frames to look at first: the rhythm of the events
 * picked so far, of the study's other trials before there are two of a kind, or a typical sprint's.
 */
export function proposals(
  { events, times, depth, speedFactor, others = null }: Picked,
  count: number,
): readonly Proposal[] {
  const end = times.at(-1);
  const found: Proposal[] = [];
  let known = [...events];
  while (end !== undefined && found.length < count) {
    const slots = agenda(known, depth, speedFactor, others);
    const open = slots.find((s, i) => s.frame === null && comesLast(slots, i));
    if (!open || open.likely === null || open.likely > end) break;
    const frame = Math.max((open.after?.frame ?? -1) + 1, frameAt(times, open.likely));
    const time = times[frame];
    if (time === undefined) break;
    found.push(...open.asked.map(({ event, side }) => ({ event, side, frame })));
    known = [...known, ...open.asked.map(({ event, side }) => ({ event, side, frame, time }))];
  }
  return found.slice(0, count);
}

/** Nothing after it is picked but where a blade came down after the same blade-off. */
function comesLast(slots: ReturnType<typeof agenda>, i: number): boolean {
  const stride = slots[i]?.after;
  return slots.slice(i + 1).every((s) => s.frame === null || s.after === stride);
}
