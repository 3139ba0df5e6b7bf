import type { Warning } from "../../reading.ts";
import type { EventFrame, Side } from "../../study/types.ts";
import type { Answers } from "../arms/armAnswers.ts";
import type { ArmMotion } from "../arms/armMotion.ts";
import { dot, minus, size, type Vector } from "../arms/armPose.ts";
import { motionOf, swingOf } from "../arms/armSwing.ts";
import type { Swing } from "../arms/swingBasis.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { sideSign } from "../trial/across.ts";
import { slot } from "../trial/notebook.ts";
import { travelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";

const TURNED = slot<Side, Warning[]>();
const EVIDENCE = { left: slot<number, Evidence>(), right: slot<number, Evidence>() };

/**
 * An arm whose swings go less than so much the way arms go, and by the other answers so much more. Found by trying: of good
 * trials none comes below 0.4, with elbows held straight 0.25; with all answers turned fore-and-aft arms filmed from the front
 * lie about -0.5, oblique ones about 0. [judgement]
 */
const LIKELY = 0.2;
const LIKELIER = 0.4;
/** A single swing may be an odd one. */
const FEWEST = 2;

/** How far an arm's swing goes the way arms go, from -1 to 1: as the coach answered, and with every answer turned. */
interface Evidence {
  readonly given: number;
  readonly turned: number;
}

/**
 * All answers "toward the camera or away" of an arm the wrong way round: each swing is like the others, and yet no arm
 * moves so. An elbow bends the hand ahead or inward, never back and outward, and an arm's front extreme lies ahead or inward
 * of its back one. Where the view shows this, and the other answers would put it right, the answers are asked about.
 */
export function turnedArms(trial: TrialGeometry, events: readonly EventFrame[]): Warning[] {
  return (["left", "right"] as const).flatMap((side) =>
    trial.remember(TURNED, side, () => findTurned(trial, events, side)),
  );
}

function findTurned(trial: TrialGeometry, events: readonly EventFrame[], side: Side): Warning[] {
  const found = trial.strides.flatMap(({ stride }) => evidenceOf(trial, events, stride, side));
  if (found.length < FEWEST) return [];
  const mean = (pick: (e: Evidence) => number) => found.reduce((sum, e) => sum + pick(e), 0) / found.length;
  const given = mean((e) => e.given);
  if (given >= LIKELY || mean((e) => e.turned) < given + LIKELIER) return [];
  return [
    {
      code: "arm-answers-turned",
      text: `The answers "toward the camera" and "away" of the ${side} arm have probably changed places: as they stand its elbow would bend the wrong way, or its front extreme lie behind its back one. Check them on one frame; the elbow is toward the camera where it is nearer than the shoulder.`,
      about: { arm: side },
    },
  ];
}

function evidenceOf(trial: TrialGeometry, events: readonly EventFrame[], n: number, side: Side): Evidence[] {
  try {
    const swing = swingOf(trial, events, n, side);
    if (!isAnswered(swing.front) || !isAnswered(swing.back)) return [];
    return [
      trial.remember(EVIDENCE[side], n, () => evidence(trial, motionOf(trial, swing, side, n), swing, n)),
    ];
  } catch (error) {
    if (error instanceof Unmeasurable) return [];
    throw error;
  }
}

function isAnswered({ elbowTowardCamera, wristTowardCamera }: EventFrame): boolean {
  return elbowTowardCamera !== undefined && wristTowardCamera !== undefined;
}

function evidence(trial: TrialGeometry, motion: ArmMotion, swing: Swing, n: number): Evidence {
  const { from, to } = travelLine(trial, n);
  const [dx, dy] = [to.x.value - from.x.value, to.y.value - from.y.value];
  const length = Math.sqrt(dx * dx + dy * dy);
  const out = sideSign(swing.front.side);
  /** How far a vector points ahead and inward, as a share of a length. */
  const likely = ([x, y]: Vector, whole: number) =>
    (Math.SQRT1_2 * (x * dx + y * dy - out * (y * dx - x * dy))) / length / whole;
  const judged = (isTurned: boolean) => {
    const [front, back] = ([swing.front, swing.back] as const).map((event, k) => {
      const said = { elbow: event.elbowTowardCamera!, wrist: event.wristTowardCamera! };
      const answers: Answers = isTurned ? { elbow: !said.elbow, wrist: !said.wrist } : said;
      return motion.joints(k as 0 | 1, answers);
    }) as [Joints, Joints];
    const travel = minus(minus(front.wrist, front.shoulder), minus(back.wrist, back.shoulder));
    return (likely(...bend(front)) + likely(...bend(back)) + likely(travel, size(travel))) / 3;
  };
  return { given: judged(false), turned: judged(true) };
}

type Joints = ReturnType<ArmMotion["joints"]>;

/** The forearm without what goes on straight from the upper arm, and the forearm's length. */
function bend({ shoulder, elbow, wrist }: Joints): [bend: Vector, length: number] {
  const [upper, fore] = [minus(elbow, shoulder), minus(wrist, elbow)];
  const share = dot(fore, upper) / dot(upper, upper);
  return [minus(fore, [share * upper[0], share * upper[1], share * upper[2]]), size(fore)];
}
