import { weightedSum } from "../../uncertainty/uncertain.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { Quantity } from "./quantity.ts";

/** Recovery time: from blade-off to the same blade's blade-on, real seconds. */
export function recoveryTime(trial: TrialGeometry, n: number): Quantity {
  const at = trial.strides[n - 1]!;
  return {
    value: weightedSum([
      [1, trial.eventTime(at, "blade_on")],
      [-1, trial.eventTime(at, "blade_off")],
    ]),
  };
}
