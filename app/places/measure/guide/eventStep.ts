import type { EventFrame } from "../../../../src/study/types.ts";
import { capital } from "../../../../src/words.ts";
import { eventWords } from "../../../commands/words.ts";
import { frameAt } from "../core/proposals.ts";
import { agenda, type Slot } from "./agenda.ts";
import { hasOpenPoints } from "./framePoints.ts";
import type { GuideInput, GuideStep } from "./guideStep.ts";
import type { Asked } from "./sequence.ts";

/** The event to pick next, or to go to, as things stand at the frame looked at. */
export function eventStep(input: GuideInput): GuideStep {
  const { frame, override } = input;
  const slots = agendaOf(input);
  if (override)
    return pick(input, slots.find((s) => isFor(s, override) && isNear(s, frame)) ?? null, override);
  const here = placeOf(slots, frame);
  const next = slots
    .slice(here + 1)
    .find((s) => s.frame === null || hasOpenPoints(input.marks, input.depth, s.frame));
  const slot = next ?? (slots.at(-1) as Slot);
  if (slot.frame !== null) return goTo(slot.asked, slot.frame, here < 0);
  const { after } = slot;
  if (after && frame < after.frame) return goOnAfter(after);
  return pick(input, slot, slot.asked[0]);
}

/**
 * The blade that is nearest the midline about here, where that is what comes next and this frame may show it. It is placed
 * by its rhythm once the blade has come down, and only looked at.
 */
export function nearestByItself(input: GuideInput): Asked | null {
  const { frame, times, override } = input;
  if (override) return null;
  const slots = agendaOf(input);
  const next = slots
    .slice(placeOf(slots, frame) + 1)
    .find((s) => s.frame === null || hasOpenPoints(input.marks, input.depth, s.frame));
  if (!next || next.frame !== null || next.asked[0].event !== "recovery_min") return null;
  const { after, until } = next;
  const time = times[frame];
  if (!after || !until || time === undefined || frame >= until.frame) return null;
  const share = (time - after.time) / (until.time - after.time);
  return share >= EARLIEST_NEAREST ? next.asked[0] : null;
}

/** Before this share of a recovery no blade is nearest; common practice, no source. */
const EARLIEST_NEAREST = 0.35;

let last: { readonly of: readonly unknown[]; readonly slots: readonly Slot[] } | null = null;

/** Remembered, because every frame stepped to asks for it several times. */
export function agendaOf({ marks, depth, speedFactor, others }: GuideInput): readonly Slot[] {
  const of = [marks.events, depth, speedFactor, others];
  if (!last?.of.every((part, i) => part === of[i]))
    last = { of, slots: agenda(marks.events, depth, speedFactor, others) };
  return last.slots;
}

/** The thing picked last up to a frame: the last of those on the frame itself or the nearest before it; -1 = none. */
function placeOf(slots: readonly Slot[], frame: number): number {
  let best = -1;
  let at = Number.NEGATIVE_INFINITY;
  slots.forEach((slot, i) => {
    if (slot.frame === null || slot.frame > frame || slot.frame < at) return;
    best = i;
    at = slot.frame;
  });
  return best;
}

const isFor = (slot: Slot, { event, side }: Asked) =>
  slot.frame === null && slot.asked.some((a) => a.event === event && a.side === side);
const isNear = ({ after, until }: Slot, frame: number) =>
  (!after || after.frame <= frame) && (!until || frame <= until.frame);

function goTo(asked: Slot["asked"], frame: number, first: boolean): GuideStep {
  return {
    kind: "go-to-event",
    event: { ...asked[0], frame },
    title: `${first ? "First" : "Next"}: ${namesOf(asked)}`,
    hint: first
      ? `Picked at frame ${frame}. Go there; if you can see a push before it, choose something else.`
      : `Picked at frame ${frame}; all up to it is marked. Go there, or step on.`,
  };
}

/** All that is picked is marked, and this frame lies before the last of it. */
function goOnAfter(last: EventFrame): GuideStep {
  return {
    kind: "go-to-event",
    event: last,
    title: `Go on after ${eventWords(last.event, last.side)}`,
    hint: `All up to frame ${last.frame} is marked. Go there, or step on; if you can see a push before the first, choose something else.`,
  };
}

function pick(input: GuideInput, slot: Slot | null, asked: Asked): GuideStep {
  const { frame, times, override } = input;
  const also = override ? [] : (slot?.asked.slice(1) ?? []);
  const at = suggestedFrame(slot, times);
  return {
    kind: "pick-event",
    event: asked.event,
    side: asked.side,
    also,
    title: capital(namesOf([asked, ...also])),
    hint: pickHint(asked, also.length > 0, slot?.after === null && !override) + endHint(slot, times),
    suggested: at !== frame ? at : null,
  };
}

function namesOf(asked: readonly Asked[]): string {
  return asked.map((a) => eventWords(a.event, a.side)).join(", ");
}

/** Within what is already picked and what is ready; null where the rhythm leads elsewhere. */
function suggestedFrame(slot: Slot | null, times: readonly number[]): number | null {
  const end = times.at(-1);
  if (!slot || slot.likely === null || end === undefined || slot.likely > end) return null;
  const first = slot.after ? slot.after.frame + (slot.asked[0].event.startsWith("arm") ? 0 : 1) : 0;
  const frame = Math.max(first, frameAt(times, slot.likely));
  if (!slot.until) return frame;
  // Nearest the midline may be the very frame of the blade-on.
  const last = slot.asked[0].event === "recovery_min" ? slot.until.frame : slot.until.frame - 1;
  return frame <= last ? frame : null;
}

/** When the rhythm leads past the end of the clip. */
function endHint(slot: Slot | null, times: readonly number[]): string {
  const end = times.at(-1);
  if (!slot || slot.likely === null || end === undefined || slot.likely <= end) return "";
  return " At this rhythm the clip ends before it. If you see no more, this trial is done.";
}

function pickHint({ event, side }: Asked, both: boolean, first: boolean): string {
  const start = first ? "Begin at the first push you can see well. " : "";
  switch (event) {
    case "blade_off":
      return `${start}Step to the last frame in which the ${side} blade, the one that pushes, still touches the ice.`;
    case "blade_on":
      return `Step to the first frame in which the ${side} blade touches the ice again.`;
    case "recovery_min":
      return `Step to the frame in which the ${side} blade, in the air, is nearest the middle of the body.`;
    case "arm_front":
      return `Step to the frame in which the ${side} hand is farthest forward, where it turns back${both ? "; the other hand is farthest back then" : ""}.`;
    case "arm_back":
      return `Step to the frame in which the ${side} hand is farthest back, where it turns forward.`;
  }
}
