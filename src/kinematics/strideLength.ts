import { product, weightedSum } from "../uncertainty/uncertain.ts";
import { bladeAt } from "./bladePlaces.ts";
import { sameSideTwice } from "./contact.ts";
import { strideBefore } from "./neighbours.ts";
import { onward } from "./onLine.ts";
import { OFF_SPEED_SHARE } from "./priors.ts";
import type { Quantity } from "./quantity.ts";
import { slideAt } from "./slides.ts";
import type { StrideEvents } from "./strideOrder.ts";
import { speedAlong, travelLine } from "./travelLine.ts";
import type { TrialGeometry } from "./trialGeometry.ts";
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
