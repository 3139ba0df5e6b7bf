import type { TravelLine } from "../../kinematics/trial/travelLine.ts";
import { product, type Sources, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import type { SpacePoint } from "./jointPoint.ts";

/** How something moves while the skater goes on: along the travel as a share of the skater's speed, and either way, m/s. */
export interface Motion {
  readonly share: number;
  readonly shareU: number;
  readonly acrossU: number;
  readonly upU: number;
}

/*
 * Views pick frames of one moment a few hundredths of a second apart, and what was marked has moved meanwhile.
 * [judgement: wide enough for every skater we can think of; over 0.02 s a metre a second is 2 cm]
 */
/** Mid-hip and shoulders: as fast as the skater, swaying as `HIP_SPEED` says. */
export const BODY: Motion = { share: 1, shareU: 0.05, acrossU: 0.45, upU: 0.25 };
/** An arm about where it turns back. */
export const HAND: Motion = { share: 1, shareU: 0.1, acrossU: 0.6, upU: 0.6 };
/** A recovering blade about its nearest: it overtakes the skater, and turns back across. */
export const RECOVERING: Motion = { share: 1.6, shareU: 0.4, acrossU: 0.6, upU: 0.6 };

/** How far it moves along a line in so many seconds, metres. */
export function movedIn(
  seconds: Uncertain,
  line: TravelLine,
  speed: Uncertain,
  { share, shareU, acrossU, upU }: Motion,
  sources: Sources,
): SpacePoint {
  const away = Math.abs(seconds.value) + seconds.u;
  const [dx, dy] = [line.to.x.value - line.from.x.value, line.to.y.value - line.from.y.value];
  const long = Math.hypot(dx, dy);
  const [tx, ty] = [dx / long, dy / long];
  const along = weightedSum([
    [share, product(speed, seconds)],
    [1, sources.add(0, shareU * speed.value * away)],
  ]);
  const across = sources.add(0, acrossU * away);
  return {
    x: weightedSum([
      [tx, along],
      [-ty, across],
    ]),
    y: weightedSum([
      [ty, along],
      [tx, across],
    ]),
    z: sources.add(0, upU * away),
  };
}
