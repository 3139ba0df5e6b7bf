import { AIRBORNE_BLADE_ALONG_U, OFF_SPEED_SHARE } from "../../priors.ts";
import { product, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import { bladeAt } from "./bladePlaces.ts";
import { onward } from "./onLine.ts";
import type { StrideEvents } from "./strideOrder.ts";
import { speedAlong, type TravelLine } from "./travelLine.ts";
import type { SharedPrior, TrialGeometry } from "./trialGeometry.ts";

/**
 * Where the recovering blade is along the line of travel (from the line's first point, metres) in the frame in which it is
 * nearest: on the cubic that leaves its blade-off point and meets its blade-on point as fast as a blade glides there. A
 * straight line between the two would be up to 6 cm ahead early and behind late: a blade that leaves is slower than the skater
 * and has to overtake.
 */
export function alongBetween(trial: TrialGeometry, stride: StrideEvents, line: TravelLine): Uncertain {
  const [off, on] = [bladeAt(trial, stride, "blade_off"), bladeAt(trial, stride, "blade_on")];
  const seconds = (stride.on!.time - stride.off.time) / trial.speedFactor;
  const s = (stride.nearest!.time - stride.off.time) / (stride.on!.time - stride.off.time);
  const reached = s * s * (3 - 2 * s);
  const glide = (name: SharedPrior) =>
    product(speedAlong(trial, line), trial.sharedPrior(name, OFF_SPEED_SHARE));
  return weightedSum([
    [1 - reached, onward(line, line.from, off)],
    [reached, onward(line, line.from, on)],
    [seconds * s * (1 - s) ** 2, glide("off speed share")],
    [-seconds * s * s * (1 - s), glide("on speed share")],
    [
      1,
      trial.belief(`${stride.side} blade along`, stride.nearest!.frame, {
        mean: 0,
        u: AIRBORNE_BLADE_ALONG_U,
      }),
    ],
  ]);
}
