import type { ArmJoint, EventName, Side } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { eventWords } from "../words.ts";
import { marksOf, withMarks } from "./marksOf.ts";

interface Answer {
  readonly trial: string;
  readonly event: EventName;
  readonly side: Side;
  readonly frame: number;
  readonly joint: ArmJoint;
  /** Nearer the camera than the joint above it; undefined = not said. */
  readonly toward: boolean | undefined;
}

/**
 * Says whether the elbow (wrist) is nearer the camera than the shoulder (elbow): the picture alone cannot. What is said
 * here is no longer carried from the stride before.
 */
export const answerArm: Command<Answer> = {
  name: "answerArm",
  label: ({ event, side, joint }) => `${joint} toward or away, ${eventWords(event, side)}`,
  run(whole, { trial, event, side, frame, joint, toward }) {
    const before = marksOf(whole, trial);
    const key = joint === "elbow" ? "elbowTowardCamera" : "wristTowardCamera";
    const target = before.events.find((e) => e.event === event && e.side === side && e.frame === frame);
    const wasCarried = target?.carried?.includes(joint) ?? false;
    if (!target || (target[key] === toward && !wasCarried)) return whole;
    const { [key]: _, carried, ...rest } = target;
    const still = carried?.filter((j) => j !== joint) ?? [];
    const answered = {
      ...rest,
      ...(toward === undefined ? {} : { [key]: toward }),
      ...(still.length > 0 ? { carried: still } : {}),
    };
    return withMarks(whole, {
      ...before,
      events: before.events.map((e) => (e === target ? answered : e)),
    });
  },
};
