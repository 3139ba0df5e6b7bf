import type { Warning } from "../../reading.ts";
import type { Side } from "../../study/types.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { otherSide } from "../trial/across.ts";
import { slot } from "../trial/notebook.ts";
import { toeAhead } from "../trial/toeAhead.ts";
import { travelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";

const TURNED = slot<0, Warning[]>();

/** Log of how much likelier the marks are with heel and toe exchanged than as they are. */
const SURE = 7;

interface Turned {
  readonly side: Side;
  readonly frame: number;
  /** Log of how much likelier it is the other way round. */
  readonly likelier: number;
}

/**
 * Blades whose toe lies behind their heel along the travel: the two ends were exchanged, unless the skater goes backwards. The
 * middle, which is measured, is the same. A single blade has to be sure by itself; all of a trial are also asked together.
 */
export function turnedBlades(trial: TrialGeometry): Warning[] {
  return trial.strides.length === 0 ? [] : trial.remember(TURNED, 0, () => findTurned(trial));
}

function findTurned(trial: TrialGeometry): Warning[] {
  const blades = trial.strides.flatMap(({ stride, side, off, on }) => [
    ...likelierTurned(trial, stride, side, off.frame),
    ...likelierTurned(trial, stride, otherSide(side), off.frame),
    ...(on ? likelierTurned(trial, stride, side, on.frame) : []),
  ]);
  const turned = blades.filter(({ likelier }) => likelier > SURE);
  const all = blades.reduce((sum, { likelier }) => sum + likelier, 0);
  if (all > SURE || 2 * turned.length > blades.length)
    return [
      {
        code: "heel-toe-exchanged",
        text: "The blades' toes lie behind their heels along the travel. Check whether the two ends have changed places in every frame (or the skater goes backwards).",
      },
    ];
  return turned.map(({ side, frame }) => ({
    code: "heel-toe-exchanged",
    text: `The ${side} blade's toe lies behind its heel along the travel in frame ${frame}. Check whether the two ends have changed places there.`,
  }));
}

function likelierTurned(trial: TrialGeometry, n: number, side: Side, frame: number): Turned[] {
  try {
    const line = travelLine(trial, n);
    const ahead = toeAhead(trial, line, side, frame);
    return ahead === null ? [] : [{ side, frame, likelier: -ahead }];
  } catch (error) {
    if (error instanceof Unmeasurable) return [];
    throw error;
  }
}
