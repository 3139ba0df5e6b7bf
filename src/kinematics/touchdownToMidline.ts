import { weightedSum } from "../uncertainty/uncertain.ts";
import { sideSign } from "./across.ts";
import { midHip, outwardOfHip } from "./midHip.ts";
import { HIP_SPEED } from "./priors.ts";
import type { Quantity } from "./quantity.ts";
import { outwardSlide, priorSlide } from "./slides.ts";
import { noBladeOn, type TrialGeometry } from "./trialGeometry.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/** Touchdown to midline: outward distance of the recovering blade from mid-hip at blade-on, across the travel, metres. */
export function touchdownToMidline(trial: TrialGeometry, n: number): Quantity {
  const at = trial.strides[n - 1]!;
  if (!at.on) throw new Unmeasurable(noBladeOn(at));
  const line = trial.travelLine(n);
  const atFrame = outwardOfHip(
    at.side,
    trial.bladeAt(at, "blade_on"),
    midHip(trial, at.on.frame, line),
    line,
  );
  return {
    atFrame,
    value: weightedSum([
      [1, atFrame],
      [1, outwardSlide(trial, at, "blade_on", line)],
      [-sideSign(at.side), priorSlide(trial, at, "blade_on", "hip speed", HIP_SPEED)],
    ]),
  };
}
