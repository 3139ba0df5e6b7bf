import type { SeeingCamera } from "../../ice/camera/ground.ts";
import type { EventFrame, Side } from "../../study/types.ts";
import type { Uncertain } from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { cameraSteps, markMiddle } from "../trial/airborne.ts";
import { travelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import { limbs, shoulderBelief } from "./armBeliefs.ts";
import type { ShoulderBelief } from "./armPose.ts";

/** One swing: an arm's extreme and its next opposite extreme. */
export interface Swing {
  readonly front: EventFrame;
  readonly back: EventFrame;
}

/**
 * What a swing is worked out from, as one list of numbers: marks of shoulder, elbow and wrist (u, v each) at the front and
 * at the back, beliefs about the shoulder (along, across, height) at either, the two limbs, the ends of the line of travel,
 * the camera's deviations at either; and behind them how much deeper elbow and wrist lie at the front and at the back.
 */
export interface SwingBasis {
  /** Without the depths. */
  readonly args: readonly Uncertain[];
  readonly frames: readonly [EventFrame, EventFrame];
  readonly limbs: readonly [upperArm: Uncertain, forearm: Uncertain];
  /** By extreme: the camera for its deviations, and where in the list they begin and end. */
  readonly cameras: readonly ((deviations: readonly number[]) => SeeingCamera)[];
  readonly deviationsAt: readonly number[];
  /** By extreme: how sure the shoulder's belief is. */
  readonly sds: readonly Pick<ShoulderBelief, "alongSd" | "acrossSd" | "heightSd">[];
}

/** Where in the list the parts begin that are not the first. */
export const [BELIEFS_AT, LIMBS_AT, LINE_AT, CAMERAS_AT] = [12, 18, 20, 24] as const;

/** Where in the list the mark of a joint (0 shoulder, 1 elbow, 2 wrist) begins at an extreme. */
export function markAt(k: 0 | 1, joint: 0 | 1 | 2): number {
  return 6 * k + 2 * joint;
}

/** @throws {Unmeasurable} */
export function swingBasis(trial: TrialGeometry, swing: Swing, side: Side, n: number): SwingBasis {
  const { ground } = trial;
  const line = travelLine(trial, n);
  const both = limbs(trial);
  const frames = [swing.front, swing.back] as const;
  const views = frames.map((e) => {
    const view = ground.cameraIn(e.frame);
    if (!view) throw new Unmeasurable(ground.unplacedWhy(e.frame) ?? ground.noCamera);
    if (ground.offIceWhy) throw new Unmeasurable(ground.offIceWhy);
    return view;
  });
  const cameras = views.map((view, k) => cameraSteps(trial, view, frames[k]!.frame));
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
    ...both,
    line.from.x,
    line.from.y,
    line.to.x,
    line.to.y,
    ...views.flatMap((s) => s.deviations),
  ];
  return {
    args,
    frames,
    limbs: both,
    cameras,
    deviationsAt: [CAMERAS_AT, CAMERAS_AT + views[0]!.deviations.length, args.length],
    sds: beliefs.map((b) => ({ alongSd: b.along.u, acrossSd: b.across.u, heightSd: b.height.u })),
  };
}
