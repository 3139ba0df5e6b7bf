import type { Camera } from "../ice/camera.ts";
import type { EventFrame, Side } from "../study/types.ts";
import { derive, linearised, type Uncertain, weightedSum } from "../uncertainty/uncertain.ts";
import { markMiddle } from "./airborne.ts";
import { type Answers, apart, completions, foldedDeg, refuseAmbiguous } from "./armAnswers.ts";
import { limbs, shoulderBelief } from "./armBeliefs.ts";
import { dot, foreshortening, jointOnRay, minus, shoulderOnRay, type Vector } from "./armPose.ts";
import { attempt, readingOf } from "./reading.ts";
import type { StrideEvents } from "./strideOrder.ts";
import type { TrialGeometry } from "./trialGeometry.ts";
import type { Reading } from "./types.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/** Beyond this an angle does not tell along from across. */
const WIDEST_U95_DEG = 45;
const DEG = 180 / Math.PI;

export interface ArmSwing {
  /** Azimuth of the wrist's travel relative to the shoulder: 0° along the travel, 90° across it. */
  readonly direction: Reading;
  /** Angle between the shoulder→wrist directions at the two extremes. */
  readonly angle: Reading;
}

/** One swing: an arm's extreme and its next opposite extreme. */
interface Swing {
  readonly front: EventFrame;
  readonly back: EventFrame;
}

/** Arm swing of one arm in stride `n`, from the swing whose middle lies between the blade-off before and this one. */
export function armSwing(
  trial: TrialGeometry,
  events: readonly EventFrame[],
  n: number,
  side: Side,
): ArmSwing {
  let both: readonly [Uncertain, Uncertain] | null = null;
  const measure = (pick: 0 | 1): Reading => {
    const outcome = attempt(() => {
      both ??= measureSwing(trial, swingOf(trial, events, n, side), side, n);
      const value = both[pick];
      if (value.u95 > WIDEST_U95_DEG) {
        throw new Unmeasurable(
          `From this view it could only be had to ± ${(value.u95).toFixed(0)}°, which does not tell along from across. Film nearer, or with the arm's swing across the view.`,
        );
      }
      return { value };
    });
    return readingOf(outcome);
  };
  return { direction: measure(0), angle: measure(1) };
}

function swingOf(trial: TrialGeometry, events: readonly EventFrame[], n: number, side: Side): Swing {
  const extremes = events
    .filter((e) => e.side === side && (e.event === "arm_front" || e.event === "arm_back"))
    .sort((a, b) => a.frame - b.frame);
  if (extremes.length === 0) throw new Unmeasurable("no arm extremes marked");
  for (let k = 1; k < extremes.length; k++) {
    const [a, b] = [extremes[k - 1]!, extremes[k]!];
    if (a.event === b.event || strideAt(trial.strides, (a.frame + b.frame) / 2) !== n) continue;
    return a.event === "arm_front" ? { front: a, back: b } : { front: b, back: a };
  }
  const alone = extremes.length === 1 ? extremes[0]! : null;
  throw new Unmeasurable(
    alone
      ? `Only the ${alone.event === "arm_front" ? "front" : "back"} extreme of the ${side} arm is picked; pick the ${alone.event === "arm_front" ? "back" : "front"} one as well.`
      : `The ${side} arm's extremes are picked in other strides.`,
  );
}

/** Number of the stride during which a frame falls; after the last blade-off it is the last. */
function strideAt(strides: readonly StrideEvents[], frame: number): number {
  return (strides.find((s) => frame <= s.off.frame) ?? strides[strides.length - 1]!).stride;
}

/** Direction and angle of a swing, degrees. */
function measureSwing(
  trial: TrialGeometry,
  swing: Swing,
  side: Side,
  n: number,
): readonly [Uncertain, Uncertain] {
  const { ground } = trial;
  const line = trial.travelLine(n);
  const [upperArm, forearm] = limbs(trial);
  const frames = [swing.front, swing.back] as const;
  const seers = frames.map((e) => {
    const seer = ground.cameraIn(e.frame);
    if (!seer) throw new Unmeasurable(ground.unplacedWhy(e.frame) ?? ground.noCamera);
    return seer;
  });
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
  /** Shoulder and both joints at one extreme; k = 0 front, 1 back. */
  const pose = (values: readonly number[], k: 0 | 1, answers: Answers) => {
    const [fx, fy, tx, ty] = values.slice(20, 24) as [number, number, number, number];
    const { camera: moved, straighten } = seers[k]!.at(values.slice(own[k], own[k + 1]));
    const length = Math.hypot(tx - fx, ty - fy);
    const direction = [(tx - fx) / length, (ty - fy) / length] as const;
    const [a, c, h] = values.slice(12 + 3 * k, 15 + 3 * k) as [number, number, number];
    const at: Vector = [
      fx + a * direction[0] - c * direction[1],
      fy + a * direction[1] + c * direction[0],
      h,
    ];
    const seen = (m: number) => straighten(values[6 * k + 2 * m]!, values[6 * k + 2 * m + 1]!);
    const shoulder = shoulderOnRay(moved, ...seen(0), {
      direction,
      at,
      alongSd: beliefs[k]!.along.u,
      acrossSd: beliefs[k]!.across.u,
      heightSd: beliefs[k]!.height.u,
    });
    const elbow = jointOnRay(moved, ...seen(1), shoulder, values[18]!, answers.elbow ?? true);
    const wrist = jointOnRay(moved, ...seen(2), elbow, values[19]!, answers.wrist ?? true);
    return { moved, direction, seen, shoulder, elbow, wrist };
  };
  const chords = (values: readonly number[], answers: readonly [Answers, Answers]) =>
    ([0, 1] as const).map((k) => {
      const { shoulder, wrist } = pose(values, k, answers[k]);
      return minus(wrist, shoulder);
    }) as [Vector, Vector];
  const both = (values: readonly number[], answers: readonly [Answers, Answers]): [number, number] => {
    const [front, back] = chords(values, answers);
    const { direction } = pose(values, 0, answers[0]);
    return [azimuthDeg(minus(front, back), direction), angleDeg(front, back)];
  };
  const values = args.map((a) => a.value);
  refuseStretched(frames, side, (k) => pose(values, k, { elbow: true, wrist: true }), [upperArm, forearm]);
  const said = frames.map((e) => ({ elbow: e.elbowTowardCamera, wrist: e.wristTowardCamera })) as [
    Answers,
    Answers,
  ];
  const options = completions(said);
  const results = options.map((answers) => both(values, answers));
  refuseAmbiguous(options, results, frames);
  const answers = options[0]!;
  const centre = results[0]![0];
  // Axis angles repeat every 180°: stay on the branch of the central value.
  const near = (degrees: number) => centre + ((((degrees - centre + 90) % 180) + 180) % 180) - 90;
  const [direction, angle] = derive(
    (...v) => {
      const [d, a] = both(v, answers);
      return [near(d), a];
    },
    args,
    1,
  ) as [Uncertain, Uncertain];
  const open = (pick: 0 | 1) => Math.max(...results.map((r) => apart(r[pick]!, results[0]![pick]!)));
  return [
    withDoubt(trial, linearised(foldedDeg(centre), [[1, direction]]), open(0)),
    withDoubt(trial, angle, open(1)),
  ];
}

/** What answers nobody gave leave open adds to the uncertainty, as half of a rectangle. */
function withDoubt(trial: TrialGeometry, value: Uncertain, open: number): Uncertain {
  return weightedSum([
    [1, value],
    [1, trial.sources.add(0, open / Math.sqrt(3))],
  ]);
}

function azimuthDeg(travel: Vector, direction: readonly [number, number]): number {
  const along = travel[0] * direction[0] + travel[1] * direction[1];
  const across = -travel[0] * direction[1] + travel[1] * direction[0];
  return DEG * Math.atan2(across, along);
}

function angleDeg(a: Vector, b: Vector): number {
  return DEG * Math.acos(Math.max(-1, Math.min(1, dot(a, b) / Math.hypot(...a) / Math.hypot(...b))));
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
