import type { CompareQuantity } from "./types.ts";

export interface QuantityWords {
  /** "stride width" */
  readonly name: string;
  readonly unit: string;
  /** What a higher and a lower value is called: "slower", "faster". */
  readonly more: string;
  readonly less: string;
  /** One line for people who do not know it. */
  readonly meaning: string;
}

const LARGER = { more: "larger", less: "smaller" };
const LONGER = { more: "longer", less: "shorter" };

export const QUANTITY_WORDS: Readonly<Record<CompareQuantity, QuantityWords>> = {
  time_s: {
    name: "time",
    unit: "s",
    more: "slower",
    less: "faster",
    meaning: "Photocell time over the lane.",
  },
  stride_width_m: {
    name: "stride width",
    unit: "m",
    ...LARGER,
    meaning:
      "How far a blade-off lies from the line through the other blade's blade-offs before and after it.",
  },
  blade_separation_m: {
    name: "blade separation",
    unit: "m",
    ...LARGER,
    meaning: "How far apart across the lane both blades are at blade-off.",
  },
  half_width_m: {
    name: "half width",
    unit: "m",
    ...LARGER,
    meaning: "How far out the pushing blade is from mid-hip at blade-off.",
  },
  recovery_to_midline_m: {
    name: "recovery to midline",
    unit: "m",
    ...LARGER,
    meaning:
      "How far out the recovering blade is from mid-hip where it is nearest; negative when it crosses.",
  },
  touchdown_to_midline_m: {
    name: "touchdown to midline",
    unit: "m",
    ...LARGER,
    meaning: "How far out the blade is from mid-hip when it meets the ice again.",
  },
  touchdown_to_track_midline_m: {
    name: "touchdown to track midline",
    unit: "m",
    ...LARGER,
    meaning: "How far out the blade meets the ice, from the middle of the blade-offs around it; blades only.",
  },
  stride_rate_hz: {
    name: "stride rate",
    unit: "/s",
    more: "higher",
    less: "lower",
    meaning: "Pushes per second, left and right counted one by one; some papers count pairs, half as many.",
  },
  stride_length_m: {
    name: "stride length",
    unit: "m",
    ...LONGER,
    meaning: "How far along the lane from one blade-off to the next, of the other blade.",
  },
  recovery_time_s: {
    name: "recovery time",
    unit: "s",
    ...LONGER,
    meaning: "From blade-off until the same blade meets the ice again.",
  },
};

export const COMPARE_QUANTITIES = Object.keys(QUANTITY_WORDS) as CompareQuantity[];
