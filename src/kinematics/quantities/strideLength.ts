import { OFF_SPEED_SHARE } from "../../priors.ts";
import { product, weightedSum } from "../../uncertainty/uncertain.ts";
import { slideAt } from "../tracks/slides.ts";
import { bladeAt } from "../trial/bladePlaces.ts";
import { sameSideTwice } from "../trial/contact.ts";
import { strideBefore } from "../trial/neighbours.ts";
import { onward } from "../trial/onLine.ts";
import type { StrideEvents } from "../trial/strideOrder.ts";
import { speedAlong, travelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { Quantity } from "./quantity.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/**
 * Stride length: along-track distance from the other blade's blade-off point before to this one, metres.
 *
 * The blades glide on until they leave, both alike, so only the doubt in the two event times remains; at
 * speed it is the larger part of the uncertainty.
 */
export function strideLength(trial: TrialGeometry, n: number): Quantity {
  const at = trial.strides[n - 1]!;
  const before = strideBefore(trial, n);
  if (before.side === at.side) throw new Unmeasurable(sameSideTwice(before));
  const { alongWhy } = trial.ground;
  if (alongWhy) throw new Unmeasurable(alongWhy);
  const line = travelLine(trial, n);
  const [a, b] = [bladeAt(trial, before, "blade_off"), bladeAt(trial, at, "blade_off")];
  const atFrame = onward(line, a, b);
  const bladeSpeed = product(speedAlong(trial, line), trial.sharedPrior("off speed share", OFF_SPEED_SHARE));
  const slide = (stride: StrideEvents) => slideAt(trial, stride, "blade_off", bladeSpeed);
  return {
    atFrame,
    value: weightedSum([
      [1, atFrame],
      [1, slide(at)],
      [-1, slide(before)],
    ]),
  };
}
