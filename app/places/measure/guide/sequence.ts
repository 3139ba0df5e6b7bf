import type {
  EventFrame,
  EventName,
  MarkingDepth,
  PointName,
  Side,
  Study,
} from "../../../../src/study/types.ts";

/** What is marked of each stride, by the question. */
export type Depth = MarkingDepth;

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

interface Needs {
  readonly events: readonly EventName[];
  readonly hips: boolean;
  /** The blade that stands while the other leaves the ice: blade separation alone needs it. */
  readonly standing: boolean;
}

const NEEDS: Record<Depth, Needs> = {
  width: { events: ["blade_off", "blade_on"], hips: false, standing: false },
  recovery: { events: ["blade_off", "blade_on", "recovery_min"], hips: true, standing: false },
  arms: { events: ["blade_off", "arm_front", "arm_back"], hips: false, standing: false },
  everything: {
    events: ["blade_off", "arm_front", "arm_back", "blade_on", "recovery_min"],
    hips: true,
    standing: true,
  },
};

/** Events asked for, in the order in which they are. */
export function eventsOf(depth: Depth): readonly EventName[] {
  return NEEDS[depth].events;
}

/** What the study's question needs: as it was chosen, else what its techniques' bands rest on. */
export function depthOf({ markingDepth, techniques }: Study): Depth {
  if (markingDepth) return markingDepth;
  const banded: ReadonlySet<string> = new Set(
    techniques.flatMap((t) => t.asked.map((band) => band.quantity)),
  );
  const arms = [...banded].filter((quantity) => quantity.startsWith("arm_")).length;
  if (arms > 0) return arms === banded.size ? "arms" : "everything";
  if (banded.has("blade_separation_m")) return "everything";
  const toHips = ["half_width_m", "recovery_to_midline_m", "touchdown_to_midline_m"];
  return toHips.some((quantity) => banded.has(quantity)) ? "recovery" : "width";
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

/** Points the numbers of this depth need at one event, in order; none at an event they do not need. */
export function pointsFor({ event, side }: Asked, depth: Depth): readonly AskedPoint[] {
  const { events, hips, standing } = NEEDS[depth];
  if (!events.includes(event)) return [];
  if (event === "arm_front" || event === "arm_back") return arm(side);
  const blades = event === "blade_off" && standing ? [...blade(side), ...blade(other(side))] : blade(side);
  return hips ? [...blades, ...HIPS] : blades;
}

/** Events of the kinds this depth asks for, by frame. */
export function orderedEvents(events: readonly EventFrame[], depth: Depth): EventFrame[] {
  const { events: wanted } = NEEDS[depth];
  return events.filter((e) => wanted.includes(e.event)).sort((a, b) => a.frame - b.frame);
}
