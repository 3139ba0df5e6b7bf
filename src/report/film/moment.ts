import { MeasureError } from "../../errors.ts";
import { EVENT_NAMES } from "../../study/names.ts";
import type { EventFrame, EventName, GatePassing, Lane, Side, TrialMarks } from "../../study/types.ts";
import { EVENT_OFFSET_FRAMES } from "../../time/eventTime.ts";

/** What two clips are lined up on: the k-th marked event of a kind, or the skater at the first gate. */
export type Moment =
  | { readonly kind: "event"; readonly event: EventName; readonly side: Side; readonly count: number }
  | { readonly kind: "start" };

/** What can be asked for: a moment, or the blade-off that ends a stride by the stride's own number. */
export type WishedMoment = Moment | { readonly kind: "stride"; readonly stride: number };

/** The frame of a clip picked for a moment. */
export interface MomentFrame {
  readonly frame: number;
  /** From that frame to the middle of the interval in which it happened, frames. */
  readonly offset: number;
}

/**
 * "start", or as in "blade_off:left:3": the third marked blade-off of the left blade, or as in "stride:5": the blade-off
 * of stride 5.
 *
 * @returns null where it is none of these
 */
export function readMoment(text: string): WishedMoment | null {
  if (text === "start") return { kind: "start" };
  const stride = /^stride:([1-9]\d{0,3})$/.exec(text)?.[1];
  if (stride) return { kind: "stride", stride: Number(stride) };
  const [name, side, count, ...more] = text.split(":");
  const event = EVENT_NAMES.find((e) => e === name);
  if (!event || (side !== "left" && side !== "right") || more.length > 0) return null;
  if (!/^[1-9]\d{0,3}$/.test(count ?? "")) return null;
  return { kind: "event", event, side, count: Number(count) };
}

/** The same as `readMoment` reads. */
export function writeMoment(moment: WishedMoment): string {
  if (moment.kind === "stride") return `stride:${moment.stride}`;
  return moment.kind === "start" ? "start" : `${moment.event}:${moment.side}:${moment.count}`;
}

const EVENT_WORDS: Readonly<Record<EventName, string>> = {
  blade_off: "blade-off",
  blade_on: "blade-on",
  recovery_min: "blade nearest the midline",
  arm_front: "arm front",
  arm_back: "arm back",
};

/** "left blade-off 3", "the start" */
export function momentWords(moment: Moment): string {
  return moment.kind === "start"
    ? "the start"
    : `${moment.side} ${EVENT_WORDS[moment.event]} ${moment.count}`;
}

/**
 * Whether a blade leaves or meets the ice: then how well the eye picks the frame is known, and with it the ± of a time
 * from there. From the others one can only count from frame to frame.
 */
export function isContact(moment: Moment): boolean {
  return moment.kind === "event" && (moment.event === "blade_off" || moment.event === "blade_on");
}

/** What a running time counts from: "since left blade-off", "since the frame of left arm front". */
export function sinceWords(moment: Moment): string {
  const name = moment.kind === "start" ? "the start" : `${moment.side} ${EVENT_WORDS[moment.event]}`;
  return isContact(moment) ? `since ${name}` : `since the frame of ${name}`;
}

/** The frame picked for the lane's first gate. */
function startPassing({ gatePassings = [] }: TrialMarks, { gates }: Lane): GatePassing | undefined {
  return gatePassings.find((g) => Math.abs(g.gate - (gates[0] ?? Number.NaN)) < 1e-6);
}

/**
 * Where a moment is in a trial's clip.
 *
 * @throws {MeasureError} `no-moment` where it is not marked
 */
export function momentFrame(marks: TrialMarks, moment: Moment, lane: Lane, who: string): MomentFrame {
  if (moment.kind === "start") {
    const first = startPassing(marks, lane);
    if (first) return { frame: first.frame, offset: -0.5 };
    throw new MeasureError(
      "no-moment",
      `momentFrame needs a passing of the first gate in trial ${marks.trial}`,
      `${who}: the frame in which the skater passes the first gate is not picked, so the clip can't be lined up on the start. Pick it in Measure, or line up on a blade-off.`,
    );
  }
  const all = ordered(marks.events, moment);
  const found = all[moment.count - 1];
  if (!found)
    throw new MeasureError(
      "no-moment",
      `momentFrame needs ${moment.event} ${moment.side} ${moment.count} in trial ${marks.trial}; it has ${all.length}`,
      `${who}: ${moment.side} ${EVENT_WORDS[moment.event]} is marked ${howOften(all.length)}, so the clip can't be lined up on ${momentWords(moment)}. Choose another event, or mark it in Measure.`,
    );
  const { event } = moment;
  return {
    frame: found.frame,
    offset: event === "blade_off" || event === "blade_on" ? EVENT_OFFSET_FRAMES[event] : 0,
  };
}

function howOften(times: number): string {
  return times === 0 ? "nowhere" : times === 1 ? "only once" : `only ${times} times`;
}

/** The marked events of a kind and a side, in the clip's own order. */
export function ordered(
  events: readonly EventFrame[],
  { event, side }: { readonly event: EventName; readonly side: Side },
): EventFrame[] {
  return events.filter((e) => e.event === event && e.side === side).sort((a, b) => a.frame - b.frame);
}

/** Every moment that all of these trials have, blade-offs first. */
export function sharedMoments(all: readonly TrialMarks[], lane: Lane): Moment[] {
  const shared = EVENT_NAMES.flatMap((event) =>
    (["left", "right"] as const).flatMap((side) => {
      const least = Math.min(...all.map((m) => ordered(m.events, { event, side }).length));
      return Array.from({ length: least }, (_, k): Moment => ({ kind: "event", event, side, count: k + 1 }));
    }),
  );
  const started = all.length > 0 && all.every((m) => startPassing(m, lane));
  return started ? [...shared, { kind: "start" }] : shared;
}

/** The blade-off in the middle of those that all have: there is something to see before and after it. */
export function usualMoment(all: readonly TrialMarks[], lane: Lane): Moment | null {
  const moments = sharedMoments(all, lane);
  const first = moments[0];
  if (first?.kind !== "event") return first ?? null;
  const alike = moments.filter((m) => m.kind === "event" && m.event === first.event && m.side === first.side);
  return alike[(alike.length - 1) >> 1] ?? null;
}
