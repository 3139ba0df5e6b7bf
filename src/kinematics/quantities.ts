import type { StrideQuantity } from "../study/types.ts";
import { bladeSeparation } from "./bladeSeparation.ts";
import { contactToMidline } from "./contactToMidline.ts";
import { eventInstant } from "./eventInstant.ts";
import type { Quantity } from "./quantity.ts";
import { type Limit, lengthLimit, positionLimit, widthLimit } from "./reading.ts";
import { recoveryTime } from "./recoveryTime.ts";
import { recoveryToMidline } from "./recoveryToMidline.ts";
import { strideLength } from "./strideLength.ts";
import { strideRate } from "./strideRate.ts";
import { strideWidth } from "./strideWidth.ts";
import { touchdownToTrackMidline } from "./touchdownToTrackMidline.ts";
import type { TrialGeometry } from "./trialGeometry.ts";

export interface QuantityRule {
  readonly name: StrideQuantity;
  readonly measure: (trial: TrialGeometry, n: number) => Quantity;
  /** Widest u95 that is still shown; absent for times and rates. */
  readonly limit?: Limit;
  /** Where the mean over a trial balances left against right. */
  readonly balanced: boolean;
}

export const QUANTITIES: readonly QuantityRule[] = [
  { name: "blade_off_s", measure: (trial, n) => eventInstant(trial, n, "blade_off"), balanced: false },
  { name: "blade_on_s", measure: (trial, n) => eventInstant(trial, n, "blade_on"), balanced: false },
  { name: "stride_width_m", measure: strideWidth, limit: widthLimit, balanced: true },
  { name: "blade_separation_m", measure: bladeSeparation, limit: positionLimit, balanced: true },
  {
    name: "half_width_m",
    measure: (trial, n) => contactToMidline(trial, n, "blade_off"),
    limit: positionLimit,
    balanced: true,
  },
  { name: "recovery_to_midline_m", measure: recoveryToMidline, limit: positionLimit, balanced: true },
  {
    name: "touchdown_to_midline_m",
    measure: (trial, n) => contactToMidline(trial, n, "blade_on"),
    limit: positionLimit,
    balanced: true,
  },
  {
    name: "touchdown_to_track_midline_m",
    measure: touchdownToTrackMidline,
    limit: positionLimit,
    balanced: true,
  },
  { name: "stride_rate_hz", measure: strideRate, balanced: false },
  { name: "stride_length_m", measure: strideLength, limit: lengthLimit, balanced: false },
  { name: "recovery_time_s", measure: recoveryTime, balanced: false },
];
