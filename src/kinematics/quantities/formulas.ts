import type { StrideQuantity } from "../../quantities/catalogue.ts";
import { eventInstant } from "../trial/eventInstant.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import { bladeSeparation } from "./bladeSeparation.ts";
import { contactToMidline } from "./contactToMidline.ts";
import type { Quantity } from "./quantity.ts";
import { recoveryTime } from "./recoveryTime.ts";
import { recoveryToMidline } from "./recoveryToMidline.ts";
import { strideLength } from "./strideLength.ts";
import { strideRate } from "./strideRate.ts";
import { strideWidth } from "./strideWidth.ts";
import { touchdownToTrackMidline } from "./touchdownToTrackMidline.ts";

/** Works a quantity of stride `n` (1, 2 …) out; throws `Unmeasurable` where it cannot. */
export type Formula = (trial: TrialGeometry, n: number) => Quantity;

/** The formula of each quantity of the catalogue. */
export const FORMULAS: Readonly<Record<StrideQuantity, Formula>> = {
  blade_off_s: (trial, n) => eventInstant(trial, n, "blade_off"),
  blade_on_s: (trial, n) => eventInstant(trial, n, "blade_on"),
  stride_width_m: strideWidth,
  blade_separation_m: bladeSeparation,
  half_width_m: (trial, n) => contactToMidline(trial, n, "blade_off"),
  recovery_to_midline_m: recoveryToMidline,
  touchdown_to_midline_m: (trial, n) => contactToMidline(trial, n, "blade_on"),
  touchdown_to_track_midline_m: touchdownToTrackMidline,
  stride_rate_hz: strideRate,
  stride_length_m: strideLength,
  recovery_time_s: recoveryTime,
};
