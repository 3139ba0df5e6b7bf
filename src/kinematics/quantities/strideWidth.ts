import { weightedSum } from "../../uncertainty/uncertain.ts";
import { outwardSlide } from "../tracks/slides.ts";
import { alongLine, distance, sideSign } from "../trial/across.ts";
import { bladeAt } from "../trial/bladePlaces.ts";
import { leftward } from "../trial/onLine.ts";
import { lineThrough, needBetweenFrames, threeInTurn } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { Quantity } from "./quantity.ts";

/**
 * Stride width: distance of blade-off point n from the straight line through the other blade's blade-off
 * points before and after it, metres; positive when the blade is on its own side of that line.
 *
 * All three points are on the ice, and no heading is needed. Each moves outward until its blade really
 * leaves, which widens the stride by the point's own slide and by the line's, taken beside the point.
 */
export function strideWidth(trial: TrialGeometry, n: number): Quantity {
  const [before, at, after] = threeInTurn(trial, n);
  needBetweenFrames(trial);
  const line = lineThrough(trial, before, at, after);
  const point = bladeAt(trial, at, "blade_off");
  const atFrame = weightedSum([[sideSign(at.side), leftward(line, line.from, point)]]);
  const [ax, ay, bx, by] = [line.from.x.value, line.from.y.value, line.to.x.value, line.to.y.value];
  const share = alongLine([ax, ay], [bx, by], [point.x.value, point.y.value]) / distance(bx - ax, by - ay);
  const value = weightedSum([
    [1, atFrame],
    [1, outwardSlide(trial, at, "blade_off", line)],
    [1 - share, outwardSlide(trial, before, "blade_off", line)],
    [share, outwardSlide(trial, after, "blade_off", line)],
  ]);
  return { atFrame, value };
}
