import { bladeNumber } from "../../marks/markTable.ts";
import type { Warning } from "../../reading.ts";
import type { Side } from "../../study/types.ts";
import { weightedSum } from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { distance, otherSide } from "../trial/across.ts";
import { pointOnIce } from "../trial/bladePlaces.ts";
import { type TravelLine, travelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";

/** How far a toe lies ahead of its heel at least, metres: a short runner turned out by 45°. [common practice, no source] */
const AHEAD = 0.18;
/** A heel that is leaving the ice is up to this high, metres, and a low camera lays that out along the view. */
const LIFTED_HEEL = 0.04;
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
    const likelier = trial.remember(`turned ${line.serial}`, bladeNumber(frame, side), () =>
      likelihood(trial, line, side, frame),
    );
    return likelier === null ? [] : [{ side, frame, likelier }];
  } catch (error) {
    if (error instanceof Unmeasurable) return [];
    throw error;
  }
}

/** Two normal laws about ± `AHEAD`: the log of their ratio is linear in how far the toe lies ahead. */
function likelihood(trial: TrialGeometry, line: TravelLine, side: Side, frame: number): number | null {
  const heel = pointOnIce(trial, frame, side, "blade_heel");
  const toe = pointOnIce(trial, frame, side, "blade_toe");
  const camera = trial.ground.cameraIn(frame)?.camera;
  if (!camera) return null;
  const [dx, dy] = [line.to.x.value - line.from.x.value, line.to.y.value - line.from.y.value];
  const long = distance(dx, dy);
  const [ax, ay] = [dx / long, dy / long];
  const ahead = weightedSum([
    [ax, toe.x],
    [-ax, heel.x],
    [ay, toe.y],
    [-ay, heel.y],
  ]);
  // Seen from behind, a heel in the air is laid out ahead of where it is, past the toe.
  const [vx, vy] = [heel.x.value - camera.x, heel.y.value - camera.y];
  const lifted = Math.max(0, ((vx * ax + vy * ay) / camera.z) * LIFTED_HEEL);
  return (-2 * AHEAD * (ahead.value + lifted)) / ahead.u ** 2;
}
