import type { ArmJoint, EventFrame } from "../../../../src/study/types.ts";
import type { GuideInput, GuideStep } from "./guideStep.ts";
import { eventsOf } from "./sequence.ts";

export function questionKey(event: EventFrame, joint: ArmJoint): string {
  return `${event.event} ${event.side} ${event.frame} ${joint}`;
}

export function answerOf(event: EventFrame, joint: ArmJoint): boolean | undefined {
  return joint === "elbow" ? event.elbowTowardCamera : event.wristTowardCamera;
}

/**
 * Whether a joint is toward the camera: asked once for each arm's front and back; later extremes carry the answer on, and
 * are asked only where it does not fit.
 */
export function armQuestion(input: GuideInput): GuideStep | null {
  const { marks, frame, depth } = input;
  for (const event of marks.events) {
    if (event.frame !== frame || !isArm(event) || !eventsOf(depth).includes(event.event)) continue;
    const joint = (["elbow", "wrist"] as const).find((j) => isOpen(input, event, j));
    if (!joint) continue;
    const above = joint === "elbow" ? "shoulder" : "elbow";
    const carried = event.carried?.includes(joint) ?? false;
    return {
      kind: "arm-question",
      event,
      joint,
      title: `Is the ${event.side} ${joint} nearer the camera than the ${above}?`,
      hint: carried
        ? `Taken on from the stride before: ${answerOf(event, joint) ? "nearer" : "farther"}. But then the arm points otherwise here than in the other strides. Step a few frames to see how it moves.`
        : "One picture can't show it, and a wrong answer turns the swing by tens of degrees. Step a few frames to see how the arm moves.",
    };
  }
  return null;
}

function isArm(event: EventFrame): boolean {
  return event.event === "arm_front" || event.event === "arm_back";
}

function isOpen({ marks, leftOpen, doubted }: GuideInput, event: EventFrame, joint: ArmJoint): boolean {
  const key = questionKey(event, joint);
  if (leftOpen.includes(key)) return false;
  if (event.carried?.includes(joint)) return doubted.includes(key);
  if (answerOf(event, joint) !== undefined) return false;
  // Who could not tell before is not asked at every stride.
  const before = extremeBefore(marks.events, event);
  return !(before && leftOpen.includes(questionKey(before, joint)));
}

/** The same arm's extreme of the same kind before an event; null at the first. */
export function extremeBefore(
  events: readonly EventFrame[],
  { event, side, frame }: Pick<EventFrame, "event" | "side" | "frame">,
): EventFrame | null {
  const before = events.filter((e) => e.event === event && e.side === side && e.frame < frame);
  return before.reduce<EventFrame | null>((last, e) => (last && last.frame > e.frame ? last : e), null);
}

/** What was said of that arm's extreme before, to be taken on by a new one. */
export function withCarriedAnswers(events: readonly EventFrame[], event: EventFrame): EventFrame {
  const before = isArm(event) ? extremeBefore(events, event) : null;
  if (!before) return event;
  const joints = (["elbow", "wrist"] as const).filter((joint) => answerOf(before, joint) !== undefined);
  if (joints.length === 0) return event;
  const { elbowTowardCamera: elbow, wristTowardCamera: wrist } = before;
  return {
    ...event,
    ...(elbow === undefined ? {} : { elbowTowardCamera: elbow }),
    ...(wrist === undefined ? {} : { wristTowardCamera: wrist }),
    carried: joints,
  };
}
