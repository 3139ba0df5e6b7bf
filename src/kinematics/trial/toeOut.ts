import { GLIDES_FROM, HEEL_LIFT_U, OFF_SPEED_SHARE, RUNNER, SIDE_SLIP_U } from "../../priors.ts";
import type { Side } from "../../study/types.ts";
import { calculation, linear, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import { distance, sideSign } from "./across.ts";
import { pointOnIce } from "./bladePlaces.ts";
import { leftward } from "./onLine.ts";
import { toeAhead } from "./toeAhead.ts";
import { speedAlong, type TravelLine } from "./travelLine.ts";
import type { TrialGeometry } from "./trialGeometry.ts";

/** Beyond this share of a runner's length across the travel (toes out by 53°) nobody glides, and the tangent only magnifies. */
const MOST_ACROSS = 0.8;

/**
 * Outward speed (m/s) of a blade that is on the ice, from where it points: an edge does not slip sideways, so it moves
 * outward as fast as it moves along the travel times the tangent of its toe-out angle. Null where that tells nothing: below
 * the speed at which blades glide, without a scale along the lane, or with toes out farther than glides.
 *
 * The angle is taken from how far the toe is outward of the heel and from the length of runners, because along the axis
 * the camera hardly sees the depth between the two.
 */
export function speedByToeOut(
  trial: TrialGeometry,
  frame: number,
  side: Side,
  line: TravelLine,
): Uncertain | null {
  const camera = trial.ground.cameraIn(frame)?.camera;
  if (!camera || trial.ground.alongWhy) return null;
  const speed = speedAlong(trial, line);
  if (speed.value < GLIDES_FROM) return null;
  const heel = pointOnIce(trial, frame, side, "blade_heel");
  const toe = pointOnIce(trial, frame, side, "blade_toe");
  const { from, to } = line;
  const [dx, dy] = [to.x.value - from.x.value, to.y.value - from.y.value];
  const acrossView =
    (dx * (heel.y.value - camera.y) - dy * (heel.x.value - camera.x)) / distance(dx, dy) / camera.z;
  const across = weightedSum([
    [sideSign(side), leftward(line, heel, toe)],
    [1, trial.sources.add(0, HEEL_LIFT_U * Math.abs(acrossView))],
  ]);
  const runner = trial.sharedPrior("runner", RUNNER);
  const sine = across.value / runner.value;
  if (Math.abs(sine) > MOST_ACROSS) return null;
  const share = trial.sharedPrior("off speed share", OFF_SPEED_SHARE);
  const slip = trial.belief(`${side} edge slips`, frame, { mean: 0, u: SIDE_SLIP_U });
  const inputs = [across, runner, speed, share, slip];
  const cosine = Math.sqrt(1 - sine * sine);
  const tangent = sine / cosine;
  const [glide, bySine] = [speed.value * share.value, (speed.value * share.value) / cosine ** 3];
  const slopes = [
    bySine / runner.value,
    (-bySine * sine) / runner.value,
    share.value * tangent,
    speed.value * tangent,
    glide * (1 + tangent * tangent),
  ];
  const told = linear(glide * tangent, inputs, slopes, calculation(outwardSpeed, inputs));
  // Which end is ahead is seen too, so a heel and toe that were exchanged change nothing; as far as it is not seen, this tells nothing.
  const seen = Math.tanh((toeAhead(trial, line, side, frame) ?? 0) / 2);
  return weightedSum([
    [seen, told],
    [1, trial.sources.add(0, Math.abs(told.value) * Math.sqrt(1 - seen * seen))],
  ]);
}

function outwardSpeed([across, runner, speed, share, slip]: readonly number[]): number {
  return speed! * share! * Math.tan(Math.asin(Math.max(-1, Math.min(1, across! / runner!))) + slip!);
}
