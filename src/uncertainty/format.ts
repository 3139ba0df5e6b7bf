import type { Reading } from "../reading.ts";

const MINUS = "\u2212";
/** Binds number and unit so that a line never breaks between them. */
const JOIN = "\u00a0";
/** An angle's ± beyond it tells nothing, and is said in words. */
const WIDEST_DEG = 90;

/**
 * "1.279 ± 0.022 m": two significant digits of u95, the value to the same place.
 * A reading without a value gives its `why`.
 *
 * @param unit as shown, "" for none; "°" follows without a space (ISO 80000-1)
 */
export function formatReading(reading: Reading, unit: string): string {
  if (reading.value === null) return reading.why;
  return valueAndU95(reading.value, reading.u95, unit, " ");
}

/** "0.123 ± 0.068 s", "42° ± 11°", never broken between lines: for the middle of a sentence. */
export function plusMinus(value: number, u95: number, unit: string): string {
  // No two arms' directions are farther apart than that.
  if (unit === "°" && u95 > WIDEST_DEG)
    return `${formatNumber(value, 0)}°${JOIN}±${JOIN}more than ${WIDEST_DEG}°`;
  return valueAndU95(value, u95, unit, JOIN);
}

function valueAndU95(value: number, u95: number, unit: string, gap: string): string {
  const places = placesFor(u95);
  const sign = unit === "°" ? unit : "";
  return withUnit(`${formatNumber(value, places)}${sign}${gap}±${gap}${formatNumber(u95, places)}`, unit);
}

/**
 * "127.9 ± 2.2 cm" of a reading in metres, to a millimetre whatever its ±: so that numbers of the screen's columns stand
 * under each other. Files and reports keep metres and two digits of u95 (`formatReading`).
 */
export function formatCentimetres({ value, u95 }: { readonly value: number; readonly u95: number }): string {
  return withUnit(`${formatNumber(100 * value, 1)} ± ${formatNumber(100 * u95, 1)}`, "cm");
}

/**
 * A number to `places` decimals with a true minus sign; never "−0".
 * Negative places round to tens, hundreds … Halves go away from 0, as decimals have them: 0.115 is no binary number, and
 * half a unit of the twelfth digit is rounding of the machine.
 */
export function formatNumber(value: number, places: number): string {
  const text = decimals(Math.abs(value), places).toFixed(Math.max(0, places));
  return value < 0 && Number(text) !== 0 ? MINUS + text : text;
}

/** Rounded in decimal, by way of twelve digits. */
function decimals(size: number, places: number): number {
  const [digits, exponent] = size.toExponential(11).split("e") as [string, string];
  const shifted = Number(exponent) + places;
  // Beyond twelve digits there is nothing to round.
  if (!Number.isFinite(size) || shifted > 11) return size;
  return Number(`${Math.round(Number(`${digits}e${shifted}`))}e${-places}`);
}

/** Decimals that show two significant digits of an uncertainty; negative from 100 up. */
export function placesFor(u95: number): number {
  if (!(u95 > 0) || !Number.isFinite(u95)) return 3;
  // By way of the printed form, so that 0.0996 (two digits: 0.10) is counted as 0.10.
  const exponent = Number(u95.toExponential(1).split("e")[1]);
  return Math.min(9, 1 - exponent);
}

/** Number and unit with the space ISO 80000-1 asks for, none before the degree sign. */
export function withUnit(text: string, unit: string): string {
  if (unit === "") return text;
  return unit === "°" ? `${text}${unit}` : `${text}${JOIN}${unit}`;
}
