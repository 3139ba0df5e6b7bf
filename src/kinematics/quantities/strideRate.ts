import { calculation, linear } from "../../uncertainty/uncertain.ts";
import { sameSideTwice } from "../trial/contact.ts";
import { strideBefore } from "../trial/neighbours.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { Quantity } from "./quantity.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/** Stride rate: pushes per second of real time, from the blade-off before to this one. Papers that count a left and a right push as one stride have half of it. */
export function strideRate(trial: TrialGeometry, n: number): Quantity {
  const at = trial.strides[n - 1]!;
  const before = strideBefore(trial, n);
  if (before.side === at.side) throw new Unmeasurable(sameSideTwice(before));
  const times = [trial.eventTime(before, "blade_off"), trial.eventTime(at, "blade_off")] as const;
  const rate = 1 / (times[1].value - times[0].value);
  const exact = calculation(([t0, t1]) => 1 / (t1! - t0!), times);
  return { value: linear(rate, times, [rate * rate, -rate * rate], exact) };
}
