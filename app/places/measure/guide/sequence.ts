import type { EventFrame, EventName, PointName, Side } from "../../../../src/study/types.ts";

/** What the person chose to mark in this pass. */
export type Depth = "quick" | "full" | "arms";

export interface Asked {
  readonly event: EventName;
  readonly side: Side;
}

export interface AskedPoint {
  readonly point: PointName;
  readonly side: Side;
}

export function other(side: Side): Side {
  return side === "left" ? "right" : "left";
}

const ORDER: Record<Depth, readonly EventName[]> = {
  quick: ["blade_off", "blade_on"],
  full: ["blade_off", "recovery_min", "blade_on"],
  arms: ["arm_front", "arm_back"],
};

/** Event frames this pass asks for, in the order in which they happen in a stride. */
export function eventsOf(depth: Depth): readonly EventName[] {
  return ORDER[depth];
}

/**
 * What happens next after an event. Blades: off, (nearest the midline,) on, then the other blade's off.
 * Arms: as one hand is farthest forward the other is farthest back; then the hands change places.
 */
export function nextAsked(after: Asked, depth: Depth): Asked {
  const order = ORDER[depth];
  if (depth === "arms") {
    return after.event === "arm_front"
      ? { event: "arm_back", side: other(after.side) }
      : { event: "arm_front", side: after.side };
  }
  const place = order.indexOf(after.event);
  // In the quick pass an event it does not ask for (nearest the midline) lies between off and on.
  if (place < 0) return { event: "blade_on", side: after.side };
  const next = order[place + 1];
  return next ? { event: next, side: after.side } : { event: "blade_off", side: other(after.side) };
}

/** Events that belong to the order this pass follows, by frame. */
export function orderedEvents(events: readonly EventFrame[], depth: Depth): EventFrame[] {
  const blades: readonly EventName[] = ORDER.full;
  const wanted = depth === "arms" ? ORDER.arms : blades;
  return events.filter((e) => wanted.includes(e.event)).sort((a, b) => a.frame - b.frame);
}

function blade(side: Side): AskedPoint[] {
  return [
    { point: "blade_heel", side },
    { point: "blade_toe", side },
  ];
}

const HIPS: readonly AskedPoint[] = [
  { point: "hip", side: "left" },
  { point: "hip", side: "right" },
];

function arm(side: Side): AskedPoint[] {
  return [
    { point: "shoulder", side },
    { point: "elbow", side },
    { point: "wrist", side },
  ];
}

/** Points asked for at one event, in order. At blade-off both blades are on or near the ice, so both are asked. */
export function pointsFor({ event, side }: Asked, depth: Depth): readonly AskedPoint[] {
  if (event === "arm_front" || event === "arm_back") return arm(side);
  const blades = event === "blade_off" ? [...blade(side), ...blade(other(side))] : blade(side);
  return depth === "full" ? [...blades, ...HIPS] : blades;
}

/** Points asked for on a frame, over all events on it, each once. */
export function pointsOnFrame(
  events: readonly EventFrame[],
  frame: number,
  depth: Depth,
): readonly AskedPoint[] {
  const wanted: AskedPoint[] = [];
  for (const event of events.filter((e) => e.frame === frame)) {
    for (const p of pointsFor(event, depth)) {
      if (!wanted.some((w) => w.point === p.point && w.side === p.side)) wanted.push(p);
    }
  }
  return wanted;
}
