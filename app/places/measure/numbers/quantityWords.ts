import type { StrideQuantity } from "../../../../src/study/types.ts";

export interface QuantityWords {
  readonly name: string;
  readonly unit: string;
  /** One line, on hover and focus. */
  readonly means: string;
}

/** Quantities of a stride in the order they are shown. Times of events are in the ribbon, not here. */
export const QUANTITY_WORDS: Readonly<
  Record<Exclude<StrideQuantity, "blade_off_s" | "blade_on_s">, QuantityWords>
> = {
  stride_width_m: {
    name: "Stride width",
    unit: "m",
    means:
      "How far this blade's last contact lies from the straight line through the other blade's contacts before and after it.",
  },
  touchdown_to_track_midline_m: {
    name: "Touchdown to track midline",
    unit: "m",
    means:
      "Where the blade lands, outward from the middle between the neighbouring blade-off points. Needs no hips: the sturdiest.",
  },
  touchdown_to_midline_m: {
    name: "Touchdown to midline",
    unit: "m",
    means: "Where the blade lands, outward from the middle of the hips.",
  },
  recovery_to_midline_m: {
    name: "Recovery to midline",
    unit: "m",
    means:
      "How near the recovering blade comes to the middle of the hips; negative when it crosses to the other side.",
  },
  half_width_m: {
    name: "Half width",
    unit: "m",
    means: "How far out from the middle of the hips the pushing blade is at blade-off.",
  },
  blade_separation_m: {
    name: "Blade separation",
    unit: "m",
    means: "How far apart sideways both blades are in the blade-off frame.",
  },
  stride_length_m: {
    name: "Stride length",
    unit: "m",
    means: "How far along the lane this blade-off is from the one before it, of the other blade.",
  },
  stride_rate_hz: {
    name: "Stride rate",
    unit: "/s",
    means:
      "Pushes per second: one over the time since the last blade-off. Papers that count both legs as one stride give half of it.",
  },
  recovery_time_s: {
    name: "Recovery time",
    unit: "s",
    means: "From this blade's blade-off until it is on the ice again.",
  },
};

export const ARM_WORDS = {
  direction: {
    name: "Arm-swing direction",
    unit: "°",
    means: "Which way the wrist travels past the shoulder: 0° straight along the lane, 90° across it.",
  },
  angle: {
    name: "Arm-swing angle",
    unit: "°",
    means: "The angle the arm sweeps between its two extremes.",
  },
} as const;

export const SPEED_WORDS: QuantityWords = {
  name: "Along-track speed",
  unit: "m/s",
  means: "How fast the skater goes along the lane around this stride, in real time.",
};
