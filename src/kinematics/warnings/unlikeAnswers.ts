import type { Warning } from "../../reading.ts";
import type { EventFrame, Side } from "../../study/types.ts";
import type { Answers } from "../arms/armAnswers.ts";
import type { ArmMotion } from "../arms/armMotion.ts";
import { dot, minus, size, type Vector } from "../arms/armPose.ts";
import { motionOf, swingOf } from "../arms/armSwing.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { sideSign } from "../trial/across.ts";
import { slot } from "../trial/notebook.ts";
import { travelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";

const UNLIKE = slot<Side, Warning[]>();

/** A limb that points so far from how it does at the arm's other extremes of the kind, degrees, and by the other answer less than half as far. [judgement] */
const UNLIKE_DEG = 40;
/** Of two limbs no third bears one out: they must also differ by so many of their own standard deviations. Found by trying: in clean trials fewer than one in 100 is then told. */
const SURE = 2.7;

type Joint = "elbow" | "wrist";

/** One extreme of an arm with its answers, and the strides whose swings it ends. */
interface Extreme {
  readonly event: EventFrame;
  readonly strides: number[];
  /** Direction of the limb to a joint in the body's own axes: along the travel, outward, up. */
  limb(joint: Joint, turned: boolean): Vector;
  /** SD of the angle between that limb and the view, degrees. */
  limbSdDeg(joint: Joint): number;
}

/**
 * Answers to "toward the camera or away" that swing an arm otherwise than the same arm swings in the trial's other strides.
 * Skaters swing alike from stride to stride; a limb on the wrong side of the picture's plane does not. An answer itself may
 * change as the skater passes the camera: what has to stay alike is the limb. Of two that differ none can be told wrong.
 */
export function unlikeAnswers(trial: TrialGeometry, events: readonly EventFrame[]): Warning[] {
  return (["left", "right"] as const).flatMap((side) =>
    trial.remember(UNLIKE, side, () => {
      const extremes = extremesOf(trial, events, side);
      return (["arm_front", "arm_back"] as const).flatMap((kind) => {
        const alike = extremes.filter(({ event }) => event.event === kind);
        return (["elbow", "wrist"] as const).flatMap((joint) => oddOnes(alike, joint, side));
      });
    }),
  );
}

function oddOnes(alike: readonly Extreme[], joint: Joint, side: Side): Warning[] {
  const said = alike.filter(({ event }) => answerOf(event, joint) !== undefined);
  if (said.length < 2) return [];
  const given = said.map((e) => e.limb(joint, false));
  const farFromAll = (a: Vector) => given.reduce((sum, b) => sum + degrees(a, b), 0);
  const middle = given.reduce((best, limb) => (farFromAll(limb) < farFromAll(best) ? limb : best));
  return said.flatMap((extreme, k) => {
    const other = said.length === 2 ? 1 - k : null;
    const usual = other === null ? middle : given[other]!;
    const off = degrees(given[k]!, usual);
    const otherwise = Math.min(
      degrees(extreme.limb(joint, true), usual),
      // Of two, the other one's answer may be the wrong one.
      other === null ? off : degrees(given[k]!, said[other]!.limb(joint, true)),
    );
    if (off <= UNLIKE_DEG || otherwise >= off / 2) return [];
    if (other !== null && off <= SURE * Math.hypot(extreme.limbSdDeg(joint), said[other]!.limbSdDeg(joint)))
      return [];
    const { event, strides } = extreme;
    const isToward = answerOf(event, joint);
    const limb = joint === "elbow" ? "upper arm" : "forearm";
    const end = event.event === "arm_front" ? "front" : "back";
    return [
      {
        code: "arm-answer-unlike",
        text: `In frame ${event.frame} the ${side} ${joint} is said to be ${isToward ? "toward" : "away from"} the camera. The ${limb} would then point ${off.toFixed(0)}° from where it points in this trial's other ${end} extremes. Check whether it is ${isToward ? "away" : "toward"}.`,
        about: { strides, arm: side, answer: { event: event.event, frame: event.frame, joint } },
      },
    ];
  });
}

function answerOf(event: EventFrame, joint: Joint): boolean | undefined {
  return joint === "elbow" ? event.elbowTowardCamera : event.wristTowardCamera;
}

/** An arm's extremes that can be placed, in order of frames. */
function extremesOf(trial: TrialGeometry, events: readonly EventFrame[], side: Side): Extreme[] {
  const found = new Map<number, Extreme>();
  for (const { stride } of trial.strides) {
    const swing = had(() => swingOf(trial, events, stride, side));
    const motion = swing && had(() => motionOf(trial, swing, side, stride));
    if (!swing || !motion) continue;
    for (const [k, event] of [swing.front, swing.back].entries()) {
      const known = found.get(event.frame);
      if (known) known.strides.push(stride);
      else found.set(event.frame, extreme(trial, motion, k as 0 | 1, event, stride));
    }
  }
  return [...found.values()];
}

function extreme(
  trial: TrialGeometry,
  motion: ArmMotion,
  k: 0 | 1,
  event: EventFrame,
  stride: number,
): Extreme {
  const { from, to } = travelLine(trial, stride);
  const [dx, dy] = [to.x.value - from.x.value, to.y.value - from.y.value];
  const length = Math.sqrt(dx * dx + dy * dy);
  const out = sideSign(event.side);
  return {
    event,
    strides: [stride],
    limb(joint, turned) {
      const answers: Answers = { elbow: event.elbowTowardCamera, wrist: event.wristTowardCamera };
      const asked = turned ? { ...answers, [joint]: !answers[joint] } : answers;
      const { shoulder, elbow, wrist } = motion.joints(k, asked);
      const [x, y, z] = joint === "elbow" ? minus(elbow, shoulder) : minus(wrist, elbow);
      return [(x * dx + y * dy) / length, (out * (y * dx - x * dy)) / length, z];
    },
    limbSdDeg(joint) {
      const answers = { elbow: event.elbowTowardCamera, wrist: event.wristTowardCamera };
      return (180 / Math.PI) * motion.limbSd(k, answers, joint);
    },
  };
}

function degrees(a: Vector, b: Vector): number {
  return (180 / Math.PI) * Math.acos(Math.max(-1, Math.min(1, dot(a, b) / size(a) / size(b))));
}

function had<T>(find: () => T): T | null {
  try {
    return find();
  } catch (error) {
    if (error instanceof Unmeasurable) return null;
    throw error;
  }
}
