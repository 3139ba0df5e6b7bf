import { MeasureError } from "../../errors.ts";
import type { EventFrame, EventName, Side } from "../../study/types.ts";

/** One push as the events tell it. */
export interface StrideEvents {
  /** 1, 2, 3 … in order of blade-off. */
  readonly stride: number;
  readonly side: Side;
  readonly off: EventFrame;
  /** The same blade's next blade-on, before its next blade-off. */
  readonly on: EventFrame | null;
  /** The recovering blade's frame nearest the midline, between its off and its on. */
  readonly nearest: EventFrame | null;
}

/** A contact with the ice lasts about as long as from one blade-off to the next; under this share of it events contradict. */
const SHORTEST_CONTACT = 0.3;
/** A blade's own blade-offs, and its blade-ons, come two such gaps apart; under this many, one of them is something else. */
const SHORTEST_CYCLE = 1.3;

/**
 * Strides in order of blade-off; the order of the events' rows does not matter.
 *
 * @throws {MeasureError} `duplicate-event`, `contradictory-events` when events cannot all be true
 */
export function strideOrder(events: readonly EventFrame[]): StrideEvents[] {
  checkDuplicates(events);
  const offs = inOrder(events, "blade_off");
  const usual = usualGap(offs);
  for (const side of ["left", "right"] as const) checkContacts(events, side, usual);
  const ons = firstAfter(inOrder(events, "blade_on"));
  const nearests = firstAfter(inOrder(events, "recovery_min"));
  const nextOffs = firstAfter(offs);
  return offs.map((off, k) => {
    const end = nextOffs(off)?.frame ?? Number.POSITIVE_INFINITY;
    const next = ons(off);
    const on = next && next.frame < end ? next : null;
    const least = nearests(off);
    const nearest = least && least.frame < end && (!on || least.frame <= on.frame) ? least : null;
    return { stride: k + 1, side: off.side, off, on, nearest };
  });
}

/** Of events in order: the first of the same blade after a given one. Asked in order, so that long tables stay quick. */
function firstAfter(ordered: readonly EventFrame[]): (of: EventFrame) => EventFrame | null {
  const queues = {
    left: ordered.filter((e) => e.side === "left"),
    right: ordered.filter((e) => e.side === "right"),
  };
  const at = { left: 0, right: 0 };
  return ({ side, frame }) => {
    const queue = queues[side];
    while (at[side] < queue.length && queue[at[side]]!.frame <= frame) at[side]++;
    return queue[at[side]] ?? null;
  };
}

function inOrder(events: readonly EventFrame[], name: EventName): EventFrame[] {
  return events
    .filter((e) => e.event === name)
    .sort((a, b) => a.frame - b.frame || (a.side < b.side ? -1 : 1));
}

/** Median number of frames between successive blade-offs; 0 with fewer than four, which do not show what is usual. */
function usualGap(offs: readonly EventFrame[]): number {
  const gaps = offs.slice(1).map((off, k) => off.frame - offs[k]!.frame);
  return gaps.length < 3 ? 0 : gaps.sort((a, b) => a - b)[gaps.length >> 1]!;
}

function checkDuplicates(events: readonly EventFrame[]): void {
  const seen = new Set<string>();
  for (const e of events) {
    const key = `${e.event}|${e.side}|${e.frame}`;
    if (seen.has(key)) {
      throw new MeasureError(
        "duplicate-event",
        `strideOrder requires each event once; ${e.event} ${e.side} is given twice in frame ${e.frame}`,
        `The ${eventWords(e)} is given twice in frame ${e.frame}. Remove one.`,
        { event: e.event, side: e.side, frame: e.frame },
      );
    }
    seen.add(key);
  }
}

/** A blade that came down has to stay down for a while before it can leave, and cannot leave or meet the ice twice at once. */
function checkContacts(events: readonly EventFrame[], side: Side, usual: number): void {
  const blade = events
    .filter((e) => e.side === side && (e.event === "blade_off" || e.event === "blade_on"))
    .sort((a, b) => a.frame - b.frame || (a.event < b.event ? -1 : 1));
  for (let k = 1; k < blade.length; k++) {
    const [a, b] = [blade[k - 1]!, blade[k]!];
    const sameKind = a.event === b.event;
    const least = sameKind ? SHORTEST_CYCLE : a.event === "blade_on" ? SHORTEST_CONTACT : 0;
    if (a.frame === b.frame || b.frame - a.frame < least * usual) contradiction(a, b);
    // On, on, off, off: a blade-off and the blade-on after it have changed places.
    const four = blade.slice(Math.max(0, k - 3), k + 1).map((e) => e.event);
    if (four.join() === "blade_on,blade_on,blade_off,blade_off") contradiction(blade[k - 2]!, blade[k - 1]!);
  }
}

function contradiction(a: EventFrame, b: EventFrame): never {
  throw new MeasureError(
    "contradictory-events",
    `strideOrder requires events that can all be true; ${a.side} ${a.event} in frame ${a.frame} and ${b.event} in frame ${b.frame} contradict`,
    `The ${eventWords(a)} in frame ${a.frame} and its ${b.event.replace("_", "-")} in frame ${b.frame} can't both be right: a blade leaves the ice, comes down, and stays down before it leaves again. Check whether a blade-off and a blade-on have changed places, or one frame is wrong.`,
    { side: a.side, frames: [a.frame, b.frame] },
  );
}

function eventWords(e: EventFrame): string {
  return `${e.side} ${e.event.replace("_", "-")}`;
}
