import type { SeeingCamera } from "../../ice/camera/ground.ts";
import type { EventFrame, Side } from "../../study/types.ts";
import { deriveList, type OfMany, type Uncertain } from "../../uncertainty/uncertain.ts";
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
  type ShoulderBelief,
  shoulderDepthSd,
  shoulderOnRay,
  sight,
  size,
  tiltSd,
  type Vector,
} from "./armPose.ts";

const DEG = 180 / Math.PI;

/** An arm at one extreme and what it is found from. */
interface Pose {
  readonly seen: SeeingCamera;
  readonly belief: ShoulderBelief;
  readonly rays: readonly [shoulder: Vector, elbow: Vector, wrist: Vector];
  readonly shoulder: Vector;
  readonly elbow: Vector;
  readonly wrist: Vector;
}

/** Its parts, one bit each: a derivative moves one thing at a time, and most of them touch few. */
const [CAMERA, BELIEF, SHOULDER_RAY, ELBOW_RAY, WRIST_RAY] = [1, 2, 4, 8, 16] as const;
const [SHOULDER, ELBOW, WRIST] = [32, 64, 128] as const;
const EVERYTHING = 255;
const TOWARD: Answers = { elbow: true, wrist: true };

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
  /** SD of the angle between the view and the limb to a joint at one extreme, rad. */
  limbSd(k: 0 | 1, answers: Answers, joint: "elbow" | "wrist"): number;
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
  /** The parts of pose `k` that rest on each argument: its own marks, beliefs, camera and depths, and what both share. */
  const restOn = ([0, 1] as const).map((k) => {
    const parts = new Array<number>(args.length + 4).fill(0);
    const mark = (m: number, on: number) => parts.fill(on, 6 * k + 2 * m, 6 * k + 2 * m + 2);
    mark(0, SHOULDER_RAY | SHOULDER | ELBOW | WRIST);
    mark(1, ELBOW_RAY | ELBOW | WRIST);
    mark(2, WRIST_RAY | WRIST);
    parts.fill(BELIEF | SHOULDER | ELBOW | WRIST, 12 + 3 * k, 15 + 3 * k);
    parts.fill(ELBOW | WRIST, 18, 19).fill(WRIST, 19, 20);
    parts.fill(BELIEF | SHOULDER | ELBOW | WRIST, 20, 24);
    parts.fill(EVERYTHING & ~BELIEF, own[k], own[k + 1]);
    const deeper = args.length + 2 * k;
    parts.fill(ELBOW | WRIST, deeper, deeper + 1).fill(WRIST, deeper + 1, deeper + 2);
    return parts;
  });
  /** Shoulder and both joints at one extreme, k = 0 front, 1 back: the `anew` parts; the others are as they were `before`. */
  const pose = (
    values: readonly number[],
    k: 0 | 1,
    answers: Answers,
    anew = EVERYTHING,
    before: Pose | null = null,
  ): Pose => {
    const has = before === null ? EVERYTHING : anew;
    const seen =
      before === null || has & CAMERA ? cameras[k]!(values.slice(own[k], own[k + 1])) : before.seen;
    const { camera } = seen;
    const ray = (part: number, m: 0 | 1 | 2) =>
      before === null || has & part
        ? sight(camera, seen.straighten(values[6 * k + 2 * m]!, values[6 * k + 2 * m + 1]!))
        : before.rays[m];
    const rays = [ray(SHOULDER_RAY, 0), ray(ELBOW_RAY, 1), ray(WRIST_RAY, 2)] as const;
    const belief = before === null || has & BELIEF ? beliefAt(values, k) : before.belief;
    const shoulder =
      before === null || has & SHOULDER ? shoulderOnRay(camera, rays[0], belief) : before.shoulder;
    const joint = (m: 1 | 2, from: Vector, isToward = true) => {
      const deeper = values[args.length + 2 * k + m - 1]!;
      return jointOnRay(camera, rays[m], from, values[17 + m]!, isToward, deeper);
    };
    const elbow = before === null || has & ELBOW ? joint(1, shoulder, answers.elbow) : before.elbow;
    const wrist = before === null || has & WRIST ? joint(2, elbow, answers.wrist) : before.wrist;
    return { seen, belief, rays, shoulder, elbow, wrist };
  };
  const beliefAt = (values: readonly number[], k: 0 | 1): ShoulderBelief => {
    const [fx, fy] = [values[20]!, values[21]!];
    const [dx, dy] = [values[22]! - fx, values[23]! - fy];
    const length = Math.sqrt(dx * dx + dy * dy);
    const direction = [dx / length, dy / length] as const;
    const [a, c] = [values[12 + 3 * k]!, values[13 + 3 * k]!];
    const at: Vector = [
      fx + a * direction[0] - c * direction[1],
      fy + a * direction[1] + c * direction[0],
      values[14 + 3 * k]!,
    ];
    return { direction, at, ...sds[k]! };
  };
  const values = [...args.map((a) => a.value), 0, 0, 0, 0];
  const seenFirst = ([0, 1] as const).map((k) => pose(values, k, TOWARD));
  /** The poses of the central values, by the answers. */
  const known = [new Map<number, Pose>(), new Map<number, Pose>()];
  const middle = (k: 0 | 1, answers: Answers): Pose => {
    const key = ((answers.elbow ?? true) ? 1 : 0) + ((answers.wrist ?? true) ? 2 : 0);
    const found = known[k]!.get(key) ?? pose(values, k, answers, ELBOW | WRIST, seenFirst[k]!);
    known[k]!.set(key, found);
    return found;
  };
  const poseOf = (drawn: readonly number[], k: 0 | 1, answers: Answers, moved: number | undefined): Pose => {
    if (moved === undefined) return pose(drawn, k, answers);
    const anew = moved < 0 ? 0 : restOn[k]![moved]!;
    const before = middle(k, answers);
    return anew === 0 ? before : pose(drawn, k, answers, anew, before);
  };
  /** The last four values deepen elbow and wrist at the front and at the back; `moved` as in `OfMany`. */
  const both = (drawn: readonly number[], answers: BothAnswers, moved?: number): [number, number] => {
    const front = poseOf(drawn, 0, answers[0], moved);
    const back = poseOf(drawn, 1, answers[1], moved);
    const [ahead, behind] = [minus(front.wrist, front.shoulder), minus(back.wrist, back.shoulder)];
    return [azimuthDeg(minus(ahead, behind), front.belief.direction), angleDeg(ahead, behind)];
  };
  refuseStretched(frames, side, seenFirst, [upperArm, forearm]);
  const doubts = (answers: BothAnswers) =>
    ([0, 1] as const).flatMap((k) => {
      const { seen, rays, shoulder, elbow } = middle(k, answers[k]);
      return ([1, 2] as const).map((joint) => {
        const length = joint === 1 ? upperArm : forearm;
        const from = joint === 1 ? shoulder : elbow;
        const { nearest, aside } = foreshortening(seen.camera, rays[joint], from, length.value);
        const asideU = (Math.SQRT2 * nearest * marks[6 * k + 2 * joint]!.u) / seen.camera.focalPx;
        return trial.sources.add(0, depthDoubt(aside, asideU, length.value, length.u));
      });
    });
  return {
    at: (answers) => both(values, answers, -1),
    joints: middle,
    limbSd: (k, answers, joint) => {
      const { seen, belief, rays, shoulder, elbow } = middle(k, answers);
      const [m, from, length] =
        joint === "elbow" ? ([1, shoulder, upperArm] as const) : ([2, elbow, forearm] as const);
      const { nearest, aside } = foreshortening(seen.camera, rays[m], from, length.value);
      const share = aside / length.value;
      const markSd = (Math.SQRT2 * nearest * marks[6 * k + 2 * m]!.u) / seen.camera.focalPx;
      const depthSd = shoulderDepthSd(rays[0], belief) / nearest;
      const sd = Math.hypot(share * depthSd, (share * length.u) / length.value, markSd / length.value);
      return tiltSd(share, sd);
    },
    uncertain: (answers) => {
      const [centre] = both(values, answers, -1);
      // Axis angles repeat every 180°.
      const near = (degrees: number) => centre + ((((degrees - centre + 90) % 180) + 180) % 180) - 90;
      const run: OfMany = (drawn, moved) => {
        const [direction, angle] = both(drawn, answers, moved);
        return [near(direction), angle];
      };
      return deriveList(run, [...args, ...doubts(answers)], "spread") as [Uncertain, Uncertain];
    },
  };
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
  poses: readonly Pose[],
  limbs: readonly [Uncertain, Uncertain],
): void {
  for (const k of [0, 1] as const) {
    const { seen, rays, shoulder, elbow } = poses[k]!;
    const segments = [
      { name: "upper arm", from: shoulder, ray: rays[1], length: limbs[0] },
      { name: "forearm", from: elbow, ray: rays[2], length: limbs[1] },
    ];
    for (const { name, from, ray, length } of segments) {
      const { aside } = foreshortening(seen.camera, ray, from, length.value);
      if (aside <= 1.25 * length.value) continue;
      throw new Unmeasurable(
        `The ${side} ${name} looks ${(100 * aside).toFixed(0)} cm long in frame ${frames[k].frame}, and it is ${(100 * length.value).toFixed(0)} cm. Check the marks there, and the arm's length.`,
      );
    }
  }
}
