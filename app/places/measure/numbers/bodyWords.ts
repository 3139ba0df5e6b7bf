import type { TrialReadings } from "../../../../src/kinematics/types.ts";
import { HIP_HEIGHT, LIMB_SPREAD } from "../../../../src/priors.ts";
import type { Body } from "../../../../src/study/types.ts";
import { K95 } from "../../../../src/uncertainty/uncertain.ts";

/** What stands in for lengths of the body that were not measured, where a number shown rests on them; null = nothing does. */
export function bodyWords(body: Body, readings: TrialReadings): string | null {
  const { trial, arms } = readings;
  const had = (...means: readonly object[]) => means.some((mean) => "mean" in mean);
  const guessed: string[] = [];
  if (
    body.hipHeight === undefined &&
    had(trial.half_width_m, trial.touchdown_to_midline_m, trial.recovery_to_midline_m)
  ) {
    const { mean, u } = HIP_HEIGHT;
    guessed.push(`hips are taken to be ${mean.toFixed(2)} ± ${(K95 * u).toFixed(2)} m above the ice`);
  }
  const { left, right } = arms.directionDeg;
  if ((body.upperArm === undefined || body.forearm === undefined) && had(left, right)) {
    guessed.push(
      `arms to be as long as for most people of this stature (± ${(K95 * LIMB_SPREAD * 100).toFixed(0)} %)`,
    );
  }
  if (guessed.length === 0) return null;
  return `Not measured on this skater: ${guessed.join(", ")}. Lengths typed under Plan narrow every ± that rests on them.`;
}
