import { angleLimit } from "../../quantities/limits.ts";
import type { EventFrame, Side } from "../../study/types.ts";
import { deriveOne, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import { attempt, doubtOf, type Outcome } from "../quantities/readingOf.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { sideSign } from "../trial/across.ts";
import { markMiddle } from "../trial/airborne.ts";
import { slot } from "../trial/notebook.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import { type Answers, alike, apart, completions, question } from "./armAnswers.ts";
import { type ArmMotion, armMotion } from "./armMotion.ts";
import { folded } from "./axisMean.ts";
import type { Swing } from "./swingBasis.ts";
import { armExtremes, strideAt, swingsBetween } from "./swings.ts";

const MOTION = { left: slot<number, ArmMotion>(), right: slot<number, ArmMotion>() };
const EXTREMES = slot<Side, EventFrame[]>();

export interface ArmSwing {
  /** The direction with its sense: positive where the wrist goes outward as it goes ahead, on one of its branches 180° apart. */
  readonly axis: Outcome;
  /** Azimuth of the wrist's travel relative to the shoulder: 0° along the travel, 90° across it. */
  readonly direction: Outcome;
  /** Angle between the shoulder→wrist directions at the two extremes. */
  readonly angle: Outcome;
  /** The same angle as it is drawn in the picture; not an angle in space. */
  readonly pictureAngle: Outcome;
}

/**
 * Arm swing of one arm in stride `n`, from the swing whose middle lies between the blade-off before and this
 * one. Where nobody said whether a joint is toward or away from the camera and it matters, there is no value
 * but `either`: each thing the picture may mean, with its own uncertainty.
 */
export function armSwing(
  trial: TrialGeometry,
  events: readonly EventFrame[],
  n: number,
  side: Side,
): ArmSwing {
  try {
    const swing = swingOf(trial, events, n, side);
    const inSpace = inSpaceOf(trial, swing, side, n);
    return { ...inSpace, pictureAngle: attempt(() => ({ value: pictureAngle(trial, swing, side) })) };
  } catch (error) {
    if (!(error instanceof Unmeasurable)) throw error;
    const { why } = error;
    return { axis: { why }, direction: { why }, angle: { why }, pictureAngle: { why } };
  }
}

function inSpaceOf(
  trial: TrialGeometry,
  swing: Swing,
  side: Side,
  n: number,
): Omit<ArmSwing, "pictureAngle"> {
  try {
    const motion = motionOf(trial, swing, side, n);
    const frames = [swing.front, swing.back] as const;
    const [front, back] = frames.map(
      (e): Answers => ({ elbow: e.elbowTowardCamera, wrist: e.wristTowardCamera }),
    );
    const options = completions([front!, back!]);
    const results = options.map((answers) => motion.at(answers));
    const known = new Map<number, ReturnType<typeof motion.uncertain>>();
    const uncertain = (k: number) => {
      const found = known.get(k) ?? motion.uncertain(options[k]!);
      known.set(k, found);
      return found;
    };
    const angleOf = (pick: 0 | 1, distance: (a: number, b: number) => number): Outcome => {
      const angles = results.map((r) => r[pick]);
      const groups = alike(angles, distance);
      const values = groups.map((group) => {
        const open = Math.max(...group.map((k) => distance(angles[group[0]!]!, angles[k]!)));
        return withDoubt(trial, uncertain(group[0]!)[pick], open);
      });
      if (groups.length === 1) return refuseWide(values[0]!);
      const groupOf = (k: number) => groups.findIndex((g) => g.includes(k));
      const why = question(options, (a, b) => groupOf(a) === groupOf(b), frames);
      const either = values.filter((v) => v.u95 <= angleLimit(v.value));
      return either.length === values.length ? { why, either } : { why };
    };
    const azimuth = angleOf(0, apart);
    return {
      axis: each(azimuth, (value) => weightedSum([[sideSign(side), value]])),
      direction: each(azimuth, folded),
      angle: angleOf(1, (a, b) => Math.abs(a - b)),
    };
  } catch (error) {
    if (!(error instanceof Unmeasurable)) throw error;
    const { why } = error;
    return { axis: { why }, direction: { why }, angle: { why } };
  }
}

function each(outcome: Outcome, turn: (value: Uncertain) => Uncertain): Outcome {
  if (!("why" in outcome)) return { value: turn(outcome.value) };
  return outcome.either ? { ...outcome, either: outcome.either.map(turn) } : outcome;
}

function refuseWide(value: Uncertain): Outcome {
  const why = doubtOf(value, angleLimit, "°");
  return why === null ? { value } : { why };
}

/** What answers nobody gave leave open adds to the uncertainty, as half of a rectangle. */
function withDoubt(trial: TrialGeometry, value: Uncertain, open: number): Uncertain {
  return weightedSum([
    [1, value],
    [1, trial.sources.add(0, open / Math.sqrt(3))],
  ]);
}

/** Degrees between the shoulder→wrist directions at the two extremes, in the picture. */
function pictureAngle(trial: TrialGeometry, swing: Swing, side: Side): Uncertain {
  const marks = [swing.front, swing.back].flatMap((e) =>
    (["shoulder", "wrist"] as const).flatMap((point) => {
      const mark = markMiddle(trial, e.frame, [[side, point]]);
      return [mark.u, mark.v];
    }),
  );
  return deriveOne((...[su, sv, wu, wv, tu, tv, xu, xv]) => {
    const [a, b] = [Math.atan2(wv! - sv!, wu! - su!), Math.atan2(xv! - tv!, xu! - tu!)];
    const turn = (Math.abs(a - b) * 180) / Math.PI;
    return Math.min(turn, 360 - turn);
  }, marks);
}

/** One arm's swing of stride `n` in space, remembered. @throws {Unmeasurable} */
export function motionOf(trial: TrialGeometry, swing: Swing, side: Side, n: number): ArmMotion {
  return trial.remember(MOTION[side], n, () => armMotion(trial, swing, side, n));
}

/** The swing of one arm whose middle lies in stride `n`. @throws {Unmeasurable} */
export function swingOf(trial: TrialGeometry, events: readonly EventFrame[], n: number, side: Side): Swing {
  const extremes = trial.remember(EXTREMES, side, () => armExtremes(events, side));
  if (extremes.length === 0) throw new Unmeasurable("no arm extremes marked");
  const strideOf = (middle: number) => strideAt(trial.strides, (s) => s.off.frame, middle)?.stride;
  const swing = swingsBetween(extremes).find(({ middle }) => strideOf(middle) === n);
  if (swing) return swing;
  const alone = extremes.length === 1 ? extremes[0]! : null;
  throw new Unmeasurable(
    alone
      ? `Only the ${alone.event === "arm_front" ? "front" : "back"} extreme of the ${side} arm is picked; pick the ${alone.event === "arm_front" ? "back" : "front"} one as well.`
      : `The ${side} arm's extremes are picked in other strides.`,
  );
}
