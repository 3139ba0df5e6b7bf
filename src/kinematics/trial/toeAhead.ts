import { bladeNumber } from "../../marks/markTable.ts";
import type { Side } from "../../study/types.ts";
import { weightedSum } from "../../uncertainty/uncertain.ts";
import { distance } from "./across.ts";
import { pointOnIce } from "./bladePlaces.ts";
import { slot } from "./notebook.ts";
import type { TravelLine } from "./travelLine.ts";
import type { TrialGeometry } from "./trialGeometry.ts";

const TOE_AHEAD = slot<number, number | null>();

/** How far a toe lies ahead of its heel at least, metres: a short runner turned out by 45°. [common practice, no source] */
const AHEAD = 0.18;
/** A heel that is leaving the ice is up to this high, metres, and a low camera lays that out along the view. */
const LIFTED_HEEL = 0.04;

/**
 * Log of how much likelier a blade's two marks are as they are than with heel and toe exchanged, the skater going forward;
 * null without a camera.
 *
 * @throws {Unmeasurable} where a mark is missing or not on the ice
 */
export function toeAhead(trial: TrialGeometry, line: TravelLine, side: Side, frame: number): number | null {
  return trial.rememberOf(line, TOE_AHEAD, bladeNumber(frame, side), () =>
    likelihood(trial, line, side, frame),
  );
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
  return (2 * AHEAD * (ahead.value + lifted)) / ahead.u ** 2;
}
