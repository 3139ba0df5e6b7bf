import type { UncertainPlace } from "../ice/ground.ts";
import { realSeconds } from "../time/speedFactor.ts";
import { deriveOne, type Uncertain, weightedSum } from "../uncertainty/uncertain.ts";
import { alongLine, leftOfLine, otherSide, sideSign } from "./across.ts";
import { airbornePoint, markMiddle, type UncertainPoint } from "./airborne.ts";
import {
  HIP_FROM_LANDING,
  HIP_FROM_LEAVING,
  HIP_FROM_STANDING_AT_OFF,
  HIP_FROM_STANDING_AT_ON,
  HIP_HEIGHT,
  OWN_HIP_HEIGHT_U,
  type Prior,
  SPEED_DOUBT,
} from "./priors.ts";
import type { StrideEvents } from "./strideOrder.ts";
import type { TravelLine, TrialGeometry } from "./trialGeometry.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/** Beyond this angle between view and travel the hips' place across is only guessed from their height. */
const SIDE_VIEW_DEG = 60;

/** Mid-hip in a frame, the middle of both hips, off the ice. */
export function midHip(trial: TrialGeometry, frame: number, line: TravelLine): UncertainPoint {
  return trial.remember(`hip ${frame} ${line.name}`, () => {
    const mark = markMiddle(trial, frame, [
      ["left", "hip"],
      ["right", "hip"],
    ]);
    const point = airbornePoint(trial, mark, line, bodyAlong(trial, frame, line), hipHeight(trial, frame));
    refuseSideView(trial, point, line);
    return point;
  });
}

/** Outward distance of a blade on the ice, or in the air, from mid-hip across the travel, metres. */
export function outwardOfHip(
  side: StrideEvents["side"],
  blade: UncertainPlace,
  hip: UncertainPoint,
  line: TravelLine,
): Uncertain {
  const sign = sideSign(side);
  return deriveOne(
    (ax, ay, bx, by, hx, hy, x, y) => sign * leftOfLine(hx, hy, hx + bx - ax, hy + by - ay, x, y),
    [line.from.x, line.from.y, line.to.x, line.to.y, hip.x, hip.y, blade.x, blade.y],
  );
}

function refuseSideView(trial: TrialGeometry, point: UncertainPoint, line: TravelLine): void {
  const camera = trial.ground.camera!.camera;
  const view = Math.atan2(point.y.value - camera.y, point.x.value - camera.x);
  const travel = Math.atan2(line.to.y.value - line.from.y.value, line.to.x.value - line.from.x.value);
  const angle = (180 / Math.PI) * Math.asin(Math.min(1, Math.abs(Math.sin(view - travel))));
  if (angle <= SIDE_VIEW_DEG) return;
  throw new Unmeasurable(
    `The camera looks across the lane here (${angle.toFixed(0)}° to the travel), and from the side the hips' distance to the blade across the lane can't be told. Film from behind the start or facing from the finish.`,
  );
}

/** Half of a belief's variance is this skater's habit, the same in every frame; half differs from frame to frame. */
function belief(trial: TrialGeometry, name: string, frame: number, prior: Prior): Uncertain {
  const part = prior.u * Math.SQRT1_2;
  return weightedSum([
    [1, trial.remember(`belief ${name}`, () => trial.sources.add(prior.mean, part))],
    [1, trial.remember(`belief ${name} ${frame}`, () => trial.sources.add(0, part))],
  ]);
}

function hipHeight(trial: TrialGeometry, frame: number): Uncertain {
  const own = trial.body.hipHeight;
  return belief(
    trial,
    "hip height",
    frame,
    own === undefined ? HIP_HEIGHT : { mean: own, u: OWN_HIP_HEIGHT_U },
  );
}

interface Guess {
  readonly frame: number;
  readonly seconds: number;
  readonly along: Uncertain;
}

/**
 * Where mid-hip is along the line of travel in a frame (from the line's first point, metres), as far as the
 * blades tell: from a blade in the same frame, else between the nearest frames with one before and after.
 */
export function bodyAlong(trial: TrialGeometry, frame: number, line: TravelLine): Uncertain {
  const guesses = trial
    .remember(`guesses ${line.name}`, () => bodyGuesses(trial, line))
    .slice()
    .sort((a, b) => Math.abs(a.frame - frame) - Math.abs(b.frame - frame));
  const nearest = guesses[0];
  if (!nearest) throw new Unmeasurable("No blade is marked that shows where along the lane the skater is.");
  if (nearest.frame === frame) return nearest.along;
  const seconds = nearest.seconds + (frame - nearest.frame) * trial.frameSeconds;
  const across = guesses.find((g) => (g.frame - frame) * (nearest.frame - frame) < 0);
  if (across) {
    const share = (seconds - nearest.seconds) / (across.seconds - nearest.seconds);
    return weightedSum([
      [1 - share, nearest.along],
      [share, across.along],
    ]);
  }
  const travelled = trial.speed(line).value * (seconds - nearest.seconds);
  return weightedSum([
    [1, nearest.along],
    [1, trial.sources.add(travelled, SPEED_DOUBT * Math.abs(travelled))],
  ]);
}

function bodyGuesses(trial: TrialGeometry, line: TravelLine): Guess[] {
  return trial.strides.flatMap((stride) => {
    const guesses: Guess[] = [];
    const add = (frame: number, time: number, side: StrideEvents["side"], name: string, prior: Prior) => {
      const place = trial.tryPlace(frame, side);
      if (!place) return;
      const along = deriveOne(alongLine, [line.from.x, line.from.y, line.to.x, line.to.y, place.x, place.y]);
      guesses.push({
        frame,
        seconds: realSeconds(time, trial.speedFactor),
        along: weightedSum([
          [1, along],
          [1, belief(trial, name, frame, prior)],
        ]),
      });
    };
    const { off, on, side } = stride;
    const standing = otherSide(side);
    if (trial.isBladeMarked(off.frame, standing))
      add(off.frame, off.time, standing, "standing at off", HIP_FROM_STANDING_AT_OFF);
    else add(off.frame, off.time, side, "leaving", HIP_FROM_LEAVING);
    if (on && trial.isBladeMarked(on.frame, standing))
      add(on.frame, on.time, standing, "standing at on", HIP_FROM_STANDING_AT_ON);
    else if (on) add(on.frame, on.time, side, "landing", HIP_FROM_LANDING);
    return guesses;
  });
}
