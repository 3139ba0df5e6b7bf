import { weightedSum } from "../uncertainty/uncertain.ts";
import { sideSign } from "./across.ts";
import { midHip, outwardOfHip } from "./midHip.ts";
import { HIP_SPEED } from "./priors.ts";
import type { Quantity } from "./quantity.ts";
import { outwardSlide, priorSlide } from "./slides.ts";
import type { TrialGeometry } from "./trialGeometry.ts";

/** Half width: outward distance of the pushing blade from mid-hip at blade-off, across the travel, metres. */
export function halfWidth(trial: TrialGeometry, n: number): Quantity {
  const at = trial.strides[n - 1]!;
  const line = trial.travelLine(n);
  const atFrame = outwardOfHip(
    at.side,
    trial.bladeAt(at, "blade_off"),
    midHip(trial, at.off.frame, line),
    line,
  );
  return {
    atFrame,
    value: weightedSum([
      [1, atFrame],
      [1, outwardSlide(trial, at, "blade_off", line)],
      [-sideSign(at.side), priorSlide(trial, at, "blade_off", "hip speed", HIP_SPEED)],
    ]),
  };
}
