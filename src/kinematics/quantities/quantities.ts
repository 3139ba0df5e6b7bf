import type { StrideQuantity } from "../../study/types.ts";
import { eventInstant } from "../trial/eventInstant.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import { bladeSeparation } from "./bladeSeparation.ts";
import { contactToMidline } from "./contactToMidline.ts";
import type { Quantity } from "./quantity.ts";
import { type Limit, lengthLimit, type Possible, positionLimit, widthLimit } from "./readingOf.ts";
import { recoveryTime } from "./recoveryTime.ts";
import { recoveryToMidline } from "./recoveryToMidline.ts";
import { strideLength } from "./strideLength.ts";
import { strideRate } from "./strideRate.ts";
import { strideWidth } from "./strideWidth.ts";
import { touchdownToTrackMidline } from "./touchdownToTrackMidline.ts";

export interface QuantityRule {
  readonly name: StrideQuantity;
  readonly measure: (trial: TrialGeometry, n: number) => Quantity;
  /** Widest u95 that is still shown; absent for times and rates. */
  readonly limit?: Limit;
  /** What a skater can do at all; absent for instants. */
  readonly possible?: Possible;
  /** Where the mean over a trial balances left against right. */
  readonly balanced: boolean;
}

/** Beyond these no skater gets, however the marks may look: a leg is about 1 m long. [judgement, wide on purpose] */
const ACROSS: Possible = { min: -1.3, max: 1.3, unit: "m" };
/** In one frame. */
const APART: Possible = { min: -1.5, max: 2.2, unit: "m" };
/** The skater moves across between the frames too. */
const BETWEEN_BLADES: Possible = { min: -1.5, max: 3, unit: "m" };

export const QUANTITIES: readonly QuantityRule[] = [
  { name: "blade_off_s", measure: (trial, n) => eventInstant(trial, n, "blade_off"), balanced: false },
  { name: "blade_on_s", measure: (trial, n) => eventInstant(trial, n, "blade_on"), balanced: false },
  {
    name: "stride_width_m",
    measure: strideWidth,
    limit: widthLimit,
    possible: BETWEEN_BLADES,
    balanced: true,
  },
  {
    name: "blade_separation_m",
    measure: bladeSeparation,
    limit: positionLimit,
    possible: APART,
    balanced: true,
  },
  {
    name: "half_width_m",
    measure: (trial, n) => contactToMidline(trial, n, "blade_off"),
    limit: positionLimit,
    possible: ACROSS,
    balanced: true,
  },
  {
    name: "recovery_to_midline_m",
    measure: recoveryToMidline,
    limit: positionLimit,
    possible: ACROSS,
    balanced: true,
  },
  {
    name: "touchdown_to_midline_m",
    measure: (trial, n) => contactToMidline(trial, n, "blade_on"),
    limit: positionLimit,
    possible: ACROSS,
    balanced: true,
  },
  {
    name: "touchdown_to_track_midline_m",
    measure: touchdownToTrackMidline,
    limit: positionLimit,
    possible: ACROSS,
    balanced: true,
  },
  {
    name: "stride_rate_hz",
    measure: strideRate,
    possible: { min: 0, max: 8, unit: "pushes a second" },
    balanced: false,
  },
  {
    name: "stride_length_m",
    measure: strideLength,
    limit: lengthLimit,
    possible: { min: 0, max: 8, unit: "m" },
    balanced: false,
  },
  { name: "recovery_time_s", measure: recoveryTime, balanced: false },
];
