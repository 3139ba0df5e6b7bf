import type { EventFrame, Side } from "../../../../src/study/types.ts";
import { likely, type Rhythm, rhythmOf, type Stride, stridesOf } from "./rhythm.ts";
import { type Asked, type Depth, eventsOf, other } from "./sequence.ts";

/** A thing to pick in a trial: one event, or both arms' extremes, which fall on one frame. */
export interface Slot {
  readonly asked: readonly [Asked, ...Asked[]];
  /** Where it was picked; null = not yet. */
  readonly frame: number | null;
  /** The picked event after which it comes; null for the first of all. */
  readonly after: EventFrame | null;
  /** Clip seconds at which it is likely; null where nothing tells. */
  readonly likely: number | null;
  /** It lies before this picked event; null = open. */
  readonly until: EventFrame | null;
}

/**
 * Everything of a trial that is picked or is to be picked at this depth, in the order in which it is asked for: a blade
 * leaves, the arms turn, it comes down, and only then where between both it was nearest. Ends with the first thing after
 * the last stride that is not picked yet.
 */
export function agenda(
  events: readonly EventFrame[],
  depth: Depth,
  speedFactor: number,
  others: Rhythm | null,
): readonly Slot[] {
  const wanted = eventsOf(depth);
  const strides = stridesOf(events);
  const own = rhythmOf(events, speedFactor);
  const front = frontSide(strides);
  const after = (name: "recovery" | "carry" | "push" | "arms", from: EventFrame) =>
    from.time + speedFactor * likely(name, from.time, own, others);
  const slots: Slot[] = strayLandings(events, strides, depth);

  const nextOff = (
    side: Side,
    from: EventFrame,
    landed: EventFrame | null,
    until: EventFrame | null,
  ): Slot => ({
    asked: [{ event: "blade_off", side }],
    frame: null,
    after: landed ?? from,
    likely: landed ? after("carry", landed) : after("push", from),
    until,
  });

  strides.forEach((stride, i) => {
    const { side, off, on, nearest } = stride;
    const next = strides[i + 1]?.off ?? null;
    slots.push({ asked: [off], frame: off.frame, after: null, likely: off.time, until: null });
    if (wanted.includes("arm_front")) slots.push(armSlot(stride, front(side), after("arms", off)));
    if (on || wanted.includes("blade_on")) {
      const ownNext = strides.slice(i + 1).find((s) => s.side === side)?.off ?? null;
      slots.push({
        asked: [{ event: "blade_on", side }],
        frame: on?.frame ?? null,
        after: off,
        likely: after("recovery", off),
        until: ownNext,
      });
    }
    if (on && wanted.includes("recovery_min")) {
      const share = likely("nearest", off.time, own, others);
      slots.push({
        asked: [{ event: "recovery_min", side }],
        frame: nearest?.frame ?? null,
        after: off,
        likely: off.time + share * (on.time - off.time),
        until: on,
      });
    }
    const landed = on && (!next || on.frame <= next.frame) ? on : null;
    if (!next || next.side === side) slots.push(nextOff(other(side), off, landed, next));
  });
  return strides.length > 0 ? slots : [...slots, FIRST];
}

const FIRST: Slot = {
  asked: [{ event: "blade_off", side: "left" }],
  frame: null,
  after: null,
  likely: null,
  until: null,
};

/** Blades that came down before the first blade-off that is picked. */
function strayLandings(events: readonly EventFrame[], strides: readonly Stride[], depth: Depth): Slot[] {
  const first = strides[0]?.off.frame ?? Number.POSITIVE_INFINITY;
  if (!eventsOf(depth).includes("blade_on")) return [];
  return events
    .filter((e) => e.event === "blade_on" && e.frame < first)
    .sort((a, b) => a.frame - b.frame)
    .map((e) => ({ asked: [e], frame: e.frame, after: null, likely: e.time, until: null }));
}

/** As one hand is farthest forward the other is farthest back, on the same frame: one pick for both. */
function armSlot({ off, arms }: Stride, front: Side, likelyAt: number): Slot {
  const both: readonly [Asked, Asked] = [
    { event: "arm_front", side: front },
    { event: "arm_back", side: other(front) },
  ];
  const [first] = arms;
  const there = (a: Asked) => arms.some((e) => e.event === a.event);
  const missing = both.filter((a) => !there(a));
  if (first && missing.length === 0)
    return { asked: both, frame: first.frame, after: off, likely: first.time, until: null };
  // One of them was picked by itself: the other one is looked for on its frame first.
  const [one] = missing;
  const side = first && other(first.side);
  const asked: Slot["asked"] = one && side ? [{ event: one.event, side }] : both;
  return { asked, frame: null, after: off, likely: first?.time ?? likelyAt, until: null };
}

/** Which hand is in front as a blade leaves: as in most strides picked so far, else the one of the same side. */
function frontSide(strides: readonly Stride[]): (off: Side) => Side {
  let same = 0;
  for (const { side, arms } of strides) {
    const front = arms.find((e) => e.event === "arm_front");
    if (front) same += front.side === side ? 1 : -1;
  }
  return (off) => (same >= 0 ? off : other(off));
}
