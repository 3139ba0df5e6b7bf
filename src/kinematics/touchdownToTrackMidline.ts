import { weightedSum } from "../uncertainty/uncertain.ts";
import { sideSign } from "./across.ts";
import { bladeAt } from "./bladePlaces.ts";
import { noBladeOn, sameSideTwice } from "./contact.ts";
import { strideAfter } from "./neighbours.ts";
import { leftward } from "./onLine.ts";
import type { Quantity } from "./quantity.ts";
import { outwardSlide } from "./slides.ts";
import { needBetweenFrames, travelLine } from "./travelLine.ts";
import type { TrialGeometry } from "./trialGeometry.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/**
 * Touchdown to track midline: outward distance of the blade-on point of stride n from the mean of the two
 * blade-off points around it (this blade's own before, the other blade's after), across the travel, metres.
 *
 * No hips and no heights. The slides of the two blade-offs are opposite and nearly cancel.
 */
export function touchdownToTrackMidline(trial: TrialGeometry, n: number): Quantity {
  const at = trial.strides[n - 1]!;
  if (!at.on) throw new Unmeasurable(noBladeOn(at));
  const next = strideAfter(trial, n, "its blade-on");
  if (next.side === at.side) throw new Unmeasurable(sameSideTwice(at));
  needBetweenFrames(trial);
  const line = travelLine(trial, n);
  const own = bladeAt(trial, at, "blade_off");
  const other = bladeAt(trial, next, "blade_off");
  const on = bladeAt(trial, at, "blade_on");
  const sign = sideSign(at.side);
  // From the middle between two points: half way between the distances from either.
  const atFrame = weightedSum([
    [sign / 2, leftward(line, own, on)],
    [sign / 2, leftward(line, other, on)],
  ]);
  const value = weightedSum([
    [1, atFrame],
    [1, outwardSlide(trial, at, "blade_on", line)],
    [-0.5, outwardSlide(trial, at, "blade_off", line)],
    [0.5, outwardSlide(trial, next, "blade_off", line)],
  ]);
  return { atFrame, value };
}
