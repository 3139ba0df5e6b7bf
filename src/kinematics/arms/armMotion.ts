import type { Side } from "../../study/types.ts";
import { deriveList, type OfMany, type Uncertain } from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { Answers, BothAnswers } from "./armAnswers.ts";
import {
  depthDoubt,
  dot,
  foreshortening,
  minus,
  shoulderDepthSd,
  size,
  tiltSd,
  type Vector,
} from "./armPose.ts";
import { type Pose, Poses } from "./poses.ts";
import { markAt, type Swing, type SwingBasis, swingBasis } from "./swingBasis.ts";

const DEG = 180 / Math.PI;

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
  const basis = swingBasis(trial, swing, side, n);
  const poses = new Poses(basis);
  refuseStretched(basis, poses.first, side);
  const both = (values: readonly number[], answers: BothAnswers, moved?: number): [number, number] => {
    const front = poses.at(values, 0, answers[0], moved);
    const back = poses.at(values, 1, answers[1], moved);
    const [ahead, behind] = [minus(front.wrist, front.shoulder), minus(back.wrist, back.shoulder)];
    return [azimuthDeg(minus(ahead, behind), front.belief.direction), angleDeg(ahead, behind)];
  };
  return {
    at: (answers) => both(poses.values, answers, -1),
    joints: (k, answers) => poses.middle(k, answers),
    limbSd: (k, answers, joint) => limbSd(basis, poses.middle(k, answers), k, joint),
    uncertain: (answers) => {
      const [centre] = both(poses.values, answers, -1);
      // Axis angles repeat every 180°.
      const near = (degrees: number) => centre + ((((degrees - centre + 90) % 180) + 180) % 180) - 90;
      const run: OfMany = (drawn, moved) => {
        const [direction, angle] = both(drawn, answers, moved);
        return [near(direction), angle];
      };
      const depths = ([0, 1] as const).flatMap((k) => depthsAt(trial, basis, poses.middle(k, answers[k]), k));
      return deriveList(run, [...basis.args, ...depths], "spread") as [Uncertain, Uncertain];
    },
  };
}

type Joint = "elbow" | "wrist";

/** The limb to a joint: its length, how it looks, and how uncertain its mark makes what is seen of it, metres. */
function limbTo(basis: SwingBasis, { seen, rays, shoulder, elbow }: Pose, k: 0 | 1, joint: Joint) {
  const [m, from] = joint === "elbow" ? ([1, shoulder] as const) : ([2, elbow] as const);
  const length = basis.limbs[m - 1]!;
  const { nearest, aside } = foreshortening(seen.camera, rays[m], from, length.value);
  return {
    length,
    nearest,
    aside,
    asideU: (Math.SQRT2 * nearest * basis.args[markAt(k, m)]!.u) / seen.camera.focalPx,
  };
}

/** How much deeper elbow and wrist may lie than they seem at one extreme, metres. */
function depthsAt(trial: TrialGeometry, basis: SwingBasis, pose: Pose, k: 0 | 1): Uncertain[] {
  return (["elbow", "wrist"] as const).map((joint) => {
    const { length, aside, asideU } = limbTo(basis, pose, k, joint);
    return trial.sources.add(0, depthDoubt(aside, asideU, length.value, length.u));
  });
}

function limbSd(basis: SwingBasis, pose: Pose, k: 0 | 1, joint: Joint): number {
  const { length, nearest, aside, asideU } = limbTo(basis, pose, k, joint);
  const share = aside / length.value;
  const depthSd = shoulderDepthSd(pose.rays[0], pose.belief) / nearest;
  const sd = Math.hypot(share * depthSd, (share * length.u) / length.value, asideU / length.value);
  return tiltSd(share, sd);
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
function refuseStretched(basis: SwingBasis, poses: readonly [Pose, Pose], side: Side): void {
  for (const k of [0, 1] as const) {
    for (const joint of ["elbow", "wrist"] as const) {
      const { length, aside } = limbTo(basis, poses[k], k, joint);
      if (aside <= 1.25 * length.value) continue;
      const name = joint === "elbow" ? "upper arm" : "forearm";
      throw new Unmeasurable(
        `The ${side} ${name} looks ${(100 * aside).toFixed(0)} cm long in frame ${basis.frames[k].frame}, and it is ${(100 * length.value).toFixed(0)} cm. Check the marks there, and the arm's length.`,
      );
    }
  }
}
