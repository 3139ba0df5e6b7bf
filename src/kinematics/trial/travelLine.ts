import type { UncertainPlace } from "../../ice/camera/ground.ts";
import { DRIFT_OF_GROWTH, DRIFT_REST, WEAVE } from "../../priors.ts";
import { calculation, linear, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { alongLine, distance } from "./across.ts";
import { bladeAt, tryPlace } from "./bladePlaces.ts";
import { sameSideTwice } from "./contact.ts";
import { strideAfter, strideBefore } from "./neighbours.ts";
import { slot } from "./notebook.ts";
import { leftward } from "./onLine.ts";
import type { StrideEvents } from "./strideOrder.ts";
import type { TrialGeometry } from "./trialGeometry.ts";

/** By the stride in the middle, as a line runs over three strides in a row. */
const LINE = slot<number, TravelLine>();
const TRAVEL = slot<number, TravelLine>();
const SPEED = slot<number, Uncertain>();

/** A straight line on the ice through two places: the travel, from `from` to `to`. */
export interface TravelLine {
  /** Tells it from all other lines, also from one through the same places as they were before a mark moved. */
  readonly serial: number;
  readonly from: UncertainPlace;
  readonly to: UncertainPlace;
  /** The other blade's stride between the two. */
  readonly middle: StrideEvents;
  /** Real seconds at which the blades left these two places. */
  readonly seconds: readonly [Uncertain, Uncertain];
}

/** Two blade-offs of one blade nearer than this give no direction of travel, metres. */
const SHORTEST_LINE = 0.5;

/** The strides before, at and after `n`, when the feet take turns. @throws {Unmeasurable} */
export function threeInTurn(trial: TrialGeometry, n: number): [StrideEvents, StrideEvents, StrideEvents] {
  const at = trial.strides[n - 1]!;
  const before = strideBefore(trial, n);
  const after = strideAfter(trial, n);
  if (before.side === at.side) throw new Unmeasurable(sameSideTwice(before));
  if (at.side === after.side) throw new Unmeasurable(sameSideTwice(at));
  return [before, at, after];
}

/** Refuses what compares places of several frames where the scale holds within one frame only. @throws {Unmeasurable} */
export function needBetweenFrames({ ground }: TrialGeometry): void {
  if (ground.betweenFramesWhy) throw new Unmeasurable(ground.betweenFramesWhy);
}

/** The straight line through two blade-off points, with the direction of travel. @throws {Unmeasurable} */
export function lineThrough(
  trial: TrialGeometry,
  from: StrideEvents,
  middle: StrideEvents,
  to: StrideEvents,
): TravelLine {
  return trial.remember(LINE, middle.stride, () => {
    const line = {
      serial: trial.serial(),
      from: bladeAt(trial, from, "blade_off"),
      to: bladeAt(trial, to, "blade_off"),
      middle,
      seconds: [trial.eventTime(from, "blade_off"), trial.eventTime(to, "blade_off")],
    } as const;
    const dx = line.to.x.value - line.from.x.value;
    const dy = line.to.y.value - line.from.y.value;
    if (!(distance(dx, dy) > SHORTEST_LINE)) {
      throw new Unmeasurable(
        `The ${from.side} blade leaves the ice in frames ${from.off.frame} and ${to.off.frame} at nearly the same place, so the direction of travel can't be told. Check the blade's marks there.`,
      );
    }
    const { acrossWhy, mostHeadingDeg } = trial.ground;
    if (acrossWhy) throw new Unmeasurable(acrossWhy);
    const headingDeg = (180 / Math.PI) * Math.atan(Math.abs(dy / dx));
    if (mostHeadingDeg !== null && headingDeg > mostHeadingDeg) {
      throw new Unmeasurable(
        "The skater crosses the view instead of going along it, and known lengths then give no widths. Film from behind the start or facing from the finish, or give ice points.",
      );
    }
    return line;
  });
}

/**
 * The line of travel for stride `n`: through the other blade's blade-offs before and after; at the ends of
 * a trial through this blade's own next or previous ones.
 *
 * @throws {Unmeasurable}
 */
export function travelLine(trial: TrialGeometry, n: number): TravelLine {
  return trial.remember(TRAVEL, n, () => findLine(trial, n));
}

function findLine(trial: TrialGeometry, n: number): TravelLine {
  const pairs: readonly (readonly [number, number])[] = [
    [n - 1, n + 1],
    [n, n + 2],
    [n - 2, n],
  ];
  let why = "The direction of travel needs two blade-offs of the same blade, next to this stride.";
  for (const [a, b] of pairs) {
    const [from, middle, to] = [trial.stride(a), trial.stride(a + 1), trial.stride(b)];
    if (!from || !middle || !to || from.side !== to.side || middle.side === from.side) continue;
    try {
      const line = lineThrough(trial, from, middle, to);
      return middle.stride === n ? line : turned(trial, line);
    } catch (error) {
      if (!(error instanceof Unmeasurable)) throw error;
      why = error.why;
    }
  }
  throw new Unmeasurable(why);
}

/**
 * A line that is not about the stride itself: the skater weaves, so the travel may have turned meanwhile, and from rest
 * one blade's blade-offs drift outward. Half way between this line and the other blade's next to it such drifts cancel.
 */
function turned(trial: TrialGeometry, line: TravelLine): TravelLine {
  const other = otherLine(trial, line);
  const apart = other && angleBetween(line, other);
  const rest = apart ? DRIFT_REST * Math.abs(apart.value) : DRIFT_OF_GROWTH * stepGrowth(trial, line);
  const turn = weightedSum([
    ...(apart ? [[0.5, apart] as const] : []),
    [1, trial.belief("weave", line.middle.off.frame, { mean: 0, u: Math.hypot(WEAVE, rest) })],
  ]);
  const [dx, dy] = [line.to.x.value - line.from.x.value, line.to.y.value - line.from.y.value];
  const turnedEnd = {
    x: weightedSum([
      [1, line.to.x],
      [-dy, turn],
    ]),
    y: weightedSum([
      [1, line.to.y],
      [dx, turn],
    ]),
  };
  return { ...line, serial: trial.serial(), to: turnedEnd };
}

/** The line of the other blade that begins, or ends, with this line's middle; null where there is none. */
function otherLine(trial: TrialGeometry, { middle }: TravelLine): TravelLine | null {
  const m = middle.stride;
  for (const [a, b] of [
    [m, m + 2],
    [m - 2, m],
  ] as const) {
    const [from, between, to] = [trial.stride(a), trial.stride(a + 1), trial.stride(b)];
    if (!from || !between || !to || from.side !== to.side || between.side === from.side) continue;
    try {
      return lineThrough(trial, from, between, to);
    } catch (error) {
      if (!(error instanceof Unmeasurable)) throw error;
    }
  }
  return null;
}

/** Angle, rad, from one line to another that is nearly parallel; positive to the left. */
function angleBetween(line: TravelLine, other: TravelLine): Uncertain {
  const [dx, dy] = [other.to.x.value - other.from.x.value, other.to.y.value - other.from.y.value];
  return weightedSum([[1 / distance(dx, dy), leftward(line, other.from, other.to)]]);
}

/** By what share of itself the second of the line's two steps is longer than the first; 0 where it is not, or cannot be told. */
function stepGrowth(trial: TrialGeometry, { from, to, middle }: TravelLine): number {
  const between = tryPlace(trial, middle.off.frame, middle.side);
  if (!between) return 0;
  const [ax, ay, bx, by] = [from.x.value, from.y.value, to.x.value, to.y.value];
  const whole = distance(bx - ax, by - ay);
  const first = alongLine([ax, ay], [bx, by], [between.x.value, between.y.value]);
  const second = whole - first;
  return second > 0 ? Math.max(0, 1 - first / second) : 0;
}

/** Speed along the line of travel between its two ends, m/s of real time. */
export function speedAlong(trial: TrialGeometry, line: TravelLine): Uncertain {
  return trial.remember(SPEED, line.serial, () => findSpeed(line));
}

function findSpeed({ from, to, seconds }: TravelLine): Uncertain {
  const inputs = [from.x, from.y, to.x, to.y, ...seconds];
  const dx = to.x.value - from.x.value;
  const dy = to.y.value - from.y.value;
  const took = seconds[1].value - seconds[0].value;
  const long = distance(dx, dy);
  const speed = long / took;
  const [perX, perY, perSecond] = [dx / long / took, dy / long / took, speed / took];
  const slopes = [-perX, -perY, perX, perY, perSecond, -perSecond];
  return linear(speed, inputs, slopes, calculation(meanSpeed, inputs));
}

function meanSpeed([ax, ay, bx, by, t0, t1]: readonly number[]): number {
  return distance(bx! - ax!, by! - ay!) / (t1! - t0!);
}
