import type { EventFrame } from "../../study/types.ts";

/** Toward and away may be left open while they lead to angles this close. */
const SAME_ANSWER_DEG = 10;

/** What was said of one extreme: is the joint nearer the camera than the one before it? Undefined = not said. */
export interface Answers {
  readonly elbow: boolean | undefined;
  readonly wrist: boolean | undefined;
}

/** The answers at the front and at the back extreme. */
export type BothAnswers = readonly [Answers, Answers];

/** Every way to fill in what was not said. */
export function completions(said: BothAnswers): BothAnswers[] {
  const ways = (answer: boolean | undefined) => (answer === undefined ? [true, false] : [answer]);
  const each = said.map((a) =>
    ways(a.elbow).flatMap((elbow) => ways(a.wrist).map((wrist) => ({ elbow, wrist }))),
  );
  return each[0]!.flatMap((front) => each[1]!.map((back): BothAnswers => [front, back]));
}

/** Ways that lead to the same angle, within `SAME_ANSWER_DEG` of the group's first: indices into `angles`. */
export function alike(
  angles: readonly number[],
  distance: (a: number, b: number) => number,
): readonly (readonly number[])[] {
  const groups: number[][] = [];
  angles.forEach((angle, k) => {
    const group = groups.find((g) => distance(angles[g[0]!]!, angle) <= SAME_ANSWER_DEG);
    if (group) group.push(k);
    else groups.push([k]);
  });
  return groups;
}

/**
 * What to ask: the joint and frame whose answer alone would change the result, else the first that is open.
 *
 * @param same whether two of the ways lead to the same result
 */
export function question(
  options: readonly BothAnswers[],
  same: (a: number, b: number) => boolean,
  frames: readonly [EventFrame, EventFrame],
): string {
  const open = frames.flatMap((e, k) =>
    (["elbow", "wrist"] as const)
      .filter((joint) => (joint === "elbow" ? e.elbowTowardCamera : e.wristTowardCamera) === undefined)
      .map((joint) => ({ joint, k, frame: e.frame })),
  );
  const differOnlyIn = (a: BothAnswers, b: BothAnswers, joint: "elbow" | "wrist", k: number) =>
    [0, 1].every((q) =>
      (["elbow", "wrist"] as const).every((j) => (q === k && j === joint) !== (a[q]![j] === b[q]![j])),
    );
  const deciding = open.find(({ joint, k }) =>
    options.some((b, m) => !same(m, 0) && differOnlyIn(options[0]!, b, joint, k)),
  );
  const { joint, frame } = deciding ?? open[0]!;
  return `One view shows an arm two ways round: say whether the ${joint} is toward or away from the camera in frame ${frame}.`;
}

/** Of an axis, whichever way it points and to whichever side: 0° to 90°. */
function foldedDeg(azimuth: number): number {
  const turned = Math.abs(azimuth) % 180;
  return turned > 90 ? 180 - turned : turned;
}

/** Difference of two axis angles, degrees. */
export function apart(a: number, b: number): number {
  return foldedDeg(a - b);
}
