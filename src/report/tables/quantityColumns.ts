import type { Reading } from "../../reading.ts";
import { STRIDE_QUANTITIES, type StrideQuantity } from "../../study/types.ts";
import { type Cell, type Column, number } from "./table.ts";

/** What each quantity is, as in design: positions are positive towards the blade's own side. */
const WHAT: Readonly<Record<StrideQuantity, string>> = {
  blade_off_s: "instant of blade-off, real seconds of the clip",
  blade_on_s: "instant of blade-on, real seconds of the clip",
  stride_width_m: "stride width: blade-off point from the line through the other blade's blade-off points",
  blade_separation_m: "distance across between both blades at blade-off",
  half_width_m: "pushing blade from mid-hip across, at blade-off",
  recovery_to_midline_m: "recovering blade from mid-hip across at its nearest; negative = crosses",
  touchdown_to_midline_m: "blade from mid-hip across, at blade-on",
  touchdown_to_track_midline_m:
    "blade at blade-on from the mean of the neighbouring blade-off points, across",
  stride_rate_hz: "pushes per second, left and right counted one by one",
  stride_length_m: "along the track between successive blade-off points of opposite blades",
  recovery_time_s: "blade-off to blade-on",
};

export const QUANTITY_UNITS: Readonly<Record<StrideQuantity, string>> = Object.fromEntries(
  STRIDE_QUANTITIES.map((q) => [q, q.endsWith("_m") ? "m" : q.endsWith("_hz") ? "1/s" : "s"]),
) as Record<StrideQuantity, string>;

export const isPosition = (q: StrideQuantity) => q.endsWith("_m") && q !== "stride_length_m";

export function what(quantity: StrideQuantity): string {
  return WHAT[quantity];
}

/** value, u95 and (positions) the value at the marked frames themselves. */
export function strideColumns(quantity: StrideQuantity): Column[] {
  const unit = QUANTITY_UNITS[quantity];
  return [
    number(quantity, WHAT[quantity], unit),
    number(`${quantity}_u95`, "half-width of the 95 % interval", unit),
    ...(isPosition(quantity)
      ? [number(`${quantity}_at_frame`, "the same at the marked frames, not corrected to the event", unit)]
      : []),
  ];
}

/** Cells of one reading; all blank where it could not be had (`refused` says why). */
export function readingCells(reading: Reading, withFrame: boolean): Cell[] {
  if (reading.value === null) return withFrame ? [null, null, null] : [null, null];
  return [reading.value, reading.u95, ...(withFrame ? [reading.atFrame] : [])];
}
