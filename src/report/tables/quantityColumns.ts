import { entryOf, type Quantity, type StrideQuantity } from "../../quantities/catalogue.ts";
import type { Reading } from "../../reading.ts";
import { type Cell, type Column, number } from "./table.ts";

/** UCUM's unit of a quantity. */
export function unitOf(quantity: Quantity): string {
  const { unit } = entryOf(quantity);
  return unit === "/s" ? "1/s" : unit;
}

/** value, u95 and (positions) the value at the marked frames themselves. */
export function strideColumns(quantity: StrideQuantity): Column[] {
  const { name, kind, meaning } = entryOf(quantity);
  const unit = unitOf(quantity);
  return [
    number(quantity, `${name}: ${meaning}`, unit),
    number(`${quantity}_u95`, "half-width of the 95 % interval", unit),
    ...(kind === "position"
      ? [number(`${quantity}_at_frame`, "the same at the marked frames, not corrected to the event", unit)]
      : []),
  ];
}

/** Cells of one reading; all blank where it could not be measured (`refused` says why). */
export function readingCells(reading: Reading, withFrame: boolean): Cell[] {
  if (reading.value === null) return withFrame ? [null, null, null] : [null, null];
  return [reading.value, reading.u95, ...(withFrame ? [reading.atFrame] : [])];
}
