import type { EventFrame } from "../study/types.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/** Toward and away may be left open while they lead to directions this close. */
const SAME_ANSWER_DEG = 10;

/** What was said of one extreme: is the joint nearer the camera than the one before it? Undefined = not said. */
export interface Answers {
  readonly elbow: boolean | undefined;
  readonly wrist: boolean | undefined;
}

/** Every way to fill in what was not said. */
export function completions(said: readonly [Answers, Answers]): [Answers, Answers][] {
  const ways = (answer: boolean | undefined) => (answer === undefined ? [true, false] : [answer]);
  const each = said.map((a) =>
    ways(a.elbow).flatMap((elbow) => ways(a.wrist).map((wrist) => ({ elbow, wrist }))),
  );
  return each[0]!.flatMap((front) => each[1]!.map((back): [Answers, Answers] => [front, back]));
}

/** Refuses where what was not said would change the result, naming the joint and frame to say it for. */
export function refuseAmbiguous(
  options: readonly (readonly [Answers, Answers])[],
  results: readonly (readonly [number, number])[],
  frames: readonly [EventFrame, EventFrame],
): void {
  const differ = (r: readonly [number, number]) =>
    apart(r[0], results[0]![0]) > SAME_ANSWER_DEG || Math.abs(r[1] - results[0]![1]) > SAME_ANSWER_DEG;
  const odd = results.findIndex(differ);
  if (odd < 0) return;
  // Name the first question whose answer alone makes the difference, else the first that is open.
  const questions = frames.flatMap((e, k) =>
    (["elbow", "wrist"] as const)
      .filter((joint) => (joint === "elbow" ? e.elbowTowardCamera : e.wristTowardCamera) === undefined)
      .map((joint) => ({ joint, k, frame: e.frame })),
  );
  const deciding = questions.find(({ joint, k }) =>
    options.some(
      (o, m) =>
        differ(results[m]!) &&
        o[k]![joint] !== options[0]![k]![joint] &&
        [0, 1].every((q) =>
          (["elbow", "wrist"] as const).every(
            (j) => (q === k && j === joint) || o[q]![j] === options[0]![q]![j],
          ),
        ),
    ),
  );
  const { joint, frame } = deciding ?? questions[0]!;
  throw new Unmeasurable(
    `One view shows an arm two ways round: say whether the ${joint} is toward or away from the camera in frame ${frame}.`,
  );
}

/** Of an axis, whichever way it points and to whichever side: 0° to 90°. */
export function foldedDeg(azimuth: number): number {
  const turned = Math.abs(azimuth) % 180;
  return turned > 90 ? 180 - turned : turned;
}

/** Difference of two axis angles, degrees. */
export function apart(a: number, b: number): number {
  return foldedDeg(a - b);
}
