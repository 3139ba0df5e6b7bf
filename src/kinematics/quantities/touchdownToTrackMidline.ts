import { weightedSum } from "../../uncertainty/uncertain.ts";
import { outwardSlide } from "../tracks/slides.ts";
import { sideSign } from "../trial/across.ts";
import { bladeAt } from "../trial/bladePlaces.ts";
import { noBladeOn, sameSideTwice } from "../trial/contact.ts";
import { strideAfter } from "../trial/neighbours.ts";
import { leftward } from "../trial/onLine.ts";
import { needBetweenFrames, travelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { Quantity } from "./quantity.ts";
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
