import type { Camera } from "../../ice/camera/camera.ts";
import type { EventFrame, Side } from "../../study/types.ts";
import { deriveList, type Uncertain } from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { cameraSteps, markMiddle } from "../trial/airborne.ts";
import { travelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { Answers, BothAnswers } from "./armAnswers.ts";
import { limbs, shoulderBelief } from "./armBeliefs.ts";
import {
  depthDoubt,
  dot,
  foreshortening,
  jointOnRay,
  minus,
  shoulderOnRay,
  size,
  type Vector,
} from "./armPose.ts";

const DEG = 180 / Math.PI;
const NO_DOUBT = [0, 0] as const;

/** One swing: an arm's extreme and its next opposite extreme. */
export interface Swing {
  readonly front: EventFrame;
  readonly back: EventFrame;
}

/** A swing in space, for whichever answers are given to "toward or away". */
export interface ArmMotion {
  /** Azimuth of the wrist's travel relative to the shoulder, and angle between the extremes, degrees. */
  at(answers: BothAnswers): readonly [direction: number, angle: number];
  /** The same with their uncertainties; the direction stays on the branch of its central value. */
  uncertain(answers: BothAnswers): readonly [direction: Uncertain, angle: Uncertain];
  /** Where the joints are at one extreme, ice frame, metres; k = 0 front, 1 back. */
  joints(
    k: 0 | 1,
    answers: Answers,
  ): { readonly shoulder: Vector; readonly elbow: Vector; readonly wrist: Vector };
}

/** Joints on their own rays: the shoulder where it is most likely, elbow and wrist a limb's length from the joint before. */
export function armMotion(trial: TrialGeometry, swing: Swing, side: Side, n: number): ArmMotion {
  const { ground } = trial;
  const line = travelLine(trial, n);
  const [upperArm, forearm] = limbs(trial);
  const frames = [swing.front, swing.back] as const;
  const seers = frames.map((e) => {
    const seer = ground.cameraIn(e.frame);
    if (!seer) throw new Unmeasurable(ground.unplacedWhy(e.frame) ?? ground.noCamera);
    if (ground.offIceWhy) throw new Unmeasurable(ground.offIceWhy);
    return seer;
  });
  const cameras = seers.map((seer, k) => cameraSteps(trial, seer, frames[k]!.frame));
  const marks = frames.flatMap((e) =>
    (["shoulder", "elbow", "wrist"] as const).flatMap((point) => {
      const mark = markMiddle(trial, e.frame, [[side, point]]);
      return [mark.u, mark.v];
    }),
  );
  const beliefs = frames.map((e) => shoulderBelief(trial, e.frame, side, line));
  const args = [
    ...marks,
    ...beliefs.flatMap((b) => [b.along, b.across, b.height]),
    upperArm,
    forearm,
    line.from.x,
    line.from.y,
    line.to.x,
    line.to.y,
    ...seers.flatMap((s) => s.deviations),
  ];
  const own = [24, 24 + seers[0]!.deviations.length, args.length];
  const sds = beliefs.map((b) => ({ alongSd: b.along.u, acrossSd: b.across.u, heightSd: b.height.u }));
  /** Shoulder and both joints at one extreme; k = 0 front, 1 back. */
  const pose = (
    values: readonly number[],
    k: 0 | 1,
    answers: Answers,
    deeper: readonly number[] = NO_DOUBT,
  ) => {
    const [fx, fy] = [values[20]!, values[21]!];
    const [dx, dy] = [values[22]! - fx, values[23]! - fy];
    const { camera: moved, straighten } = cameras[k]!(values.slice(own[k], own[k + 1]));
    const length = Math.sqrt(dx * dx + dy * dy);
    const direction = [dx / length, dy / length] as const;
    const [a, c] = [values[12 + 3 * k]!, values[13 + 3 * k]!];
    const at: Vector = [
      fx + a * direction[0] - c * direction[1],
      fy + a * direction[1] + c * direction[0],
      values[14 + 3 * k]!,
    ];
    const seen = (m: number) => straighten(values[6 * k + 2 * m]!, values[6 * k + 2 * m + 1]!);
    const shoulder = shoulderOnRay(moved, ...seen(0), { direction, at, ...sds[k]! });
    const elbow = jointOnRay(moved, ...seen(1), shoulder, values[18]!, answers.elbow ?? true, deeper[0]);
    const wrist = jointOnRay(moved, ...seen(2), elbow, values[19]!, answers.wrist ?? true, deeper[1]);
    return { moved, direction, seen, shoulder, elbow, wrist };
  };
  /** What pose `k` depends on: its own marks, beliefs, camera and depths, and what both share. */
  const ownValues = ([0, 1] as const).map((k) => [
    ...range(6 * k, 6 * k + 6),
    ...range(12 + 3 * k, 15 + 3 * k),
    ...range(18, 24),
    ...range(own[k]!, own[k + 1]!),
    ...[args.length + 2 * k, args.length + 2 * k + 1],
  ]);
  const middle: { answers: Answers; values: readonly number[]; pose: ReturnType<typeof pose> }[] = [];
  /** The pose of the central values where nothing it depends on has moved: a derivative moves one thing at a time. */
  const poseAgain = (values: readonly number[], k: 0 | 1, answers: Answers) => {
    const known = middle[k];
    if (known?.answers === answers && unmoved(ownValues[k]!, values, known.values)) return known.pose;
    const deeper = [values[args.length + 2 * k]!, values[args.length + 2 * k + 1]!];
    const made = pose(values, k, answers, deeper);
    // A calculation begins with the central values, for whichever answers.
    if (known?.answers !== answers) middle[k] = { answers, values: values.slice(), pose: made };
    return made;
  };
  /** The last four values deepen elbow and wrist at the front and at the back. */
  const both = (values: readonly number[], answers: BothAnswers): [number, number] => {
    const front = poseAgain(values, 0, answers[0]);
    const back = poseAgain(values, 1, answers[1]);
    const [ahead, behind] = [minus(front.wrist, front.shoulder), minus(back.wrist, back.shoulder)];
    return [azimuthDeg(minus(ahead, behind), front.direction), angleDeg(ahead, behind)];
  };
  const values = [...args.map((a) => a.value), 0, 0, 0, 0];
  refuseStretched(frames, side, (k) => pose(values, k, { elbow: true, wrist: true }), [upperArm, forearm]);
  const doubts = (answers: BothAnswers) =>
    ([0, 1] as const).flatMap((k) => {
      const { moved, seen, shoulder, elbow } = pose(values, k, answers[k]);
      return ([1, 2] as const).map((joint) => {
        const length = joint === 1 ? upperArm : forearm;
        const { nearest, aside } = foreshortening(
          moved,
          ...seen(joint),
          joint === 1 ? shoulder : elbow,
          length.value,
        );
        const asideU = (Math.SQRT2 * nearest * marks[6 * k + 2 * joint]!.u) / moved.focalPx;
        return trial.sources.add(0, depthDoubt(aside, asideU, length.value, length.u));
      });
    });
  return {
    at: (answers) => both(values, answers),
    joints: (k, answers) => pose(values, k, answers),
    uncertain: (answers) => {
      const [centre] = both(values, answers);
      // Axis angles repeat every 180°.
      const near = (degrees: number) => centre + ((((degrees - centre + 90) % 180) + 180) % 180) - 90;
      const run = (drawn: readonly number[]) => {
        const [direction, angle] = both(drawn, answers);
        return [near(direction), angle];
      };
      return deriveList(run, [...args, ...doubts(answers)], "spread") as [Uncertain, Uncertain];
    },
  };
}

function unmoved(places: readonly number[], now: readonly number[], before: readonly number[]): boolean {
  for (const n of places) if (now[n] !== before[n]) return false;
  return true;
}

function range(from: number, to: number): number[] {
  return Array.from({ length: to - from }, (_, k) => from + k);
}

function azimuthDeg(travel: Vector, direction: readonly [number, number]): number {
  const along = travel[0] * direction[0] + travel[1] * direction[1];
  const across = -travel[0] * direction[1] + travel[1] * direction[0];
  return DEG * Math.atan2(across, along);
}

function angleDeg(a: Vector, b: Vector): number {
  return DEG * Math.acos(Math.max(-1, Math.min(1, dot(a, b) / size(a) / size(b))));
}

/** A segment that looks much longer than it is was marked wrongly, or its length is wrong. */
function refuseStretched(
  frames: readonly [EventFrame, EventFrame],
  side: Side,
  poseAt: (k: 0 | 1) => {
    moved: Camera;
    seen: (m: number) => readonly [number, number];
    shoulder: Vector;
    elbow: Vector;
  },
  limbs: readonly [Uncertain, Uncertain],
): void {
  for (const k of [0, 1] as const) {
    const { moved, seen, shoulder, elbow } = poseAt(k);
    const segments = [
      { name: "upper arm", from: shoulder, joint: 1, length: limbs[0] },
      { name: "forearm", from: elbow, joint: 2, length: limbs[1] },
    ];
    for (const { name, from, joint, length } of segments) {
      const { aside } = foreshortening(moved, ...seen(joint), from, length.value);
      if (aside <= 1.25 * length.value) continue;
      throw new Unmeasurable(
        `The ${side} ${name} looks ${(100 * aside).toFixed(0)} cm long in frame ${frames[k].frame}, and it is ${(100 * length.value).toFixed(0)} cm. Check the marks there, and the arm's length.`,
      );
    }
  }
}
