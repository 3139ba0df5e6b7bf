import { formatNumber, placesFor, withUnit } from "../uncertainty/format.ts";

export { plusMinus } from "../uncertainty/format.ts";

const COUNTS = [
  "none",
  "one",
  "two",
  "three",
  "four",
  "five",
  "six",
  "seven",
  "eight",
  "nine",
  "ten",
  "eleven",
  "twelve",
];

/** 5 as "five"; from 13 on in digits. */
export function countWord(n: number): string {
  return COUNTS[n] ?? String(n);
}

/** "three of five"; both in digits where one of them has to be: "9 of 20". */
export function countOf(some: number, all: number): string {
  return all < COUNTS.length ? `${countWord(some)} of ${countWord(all)}` : `${some} of ${all}`;
}

/** "Ada, Bo and Cleo" */
export function listed(names: readonly string[], last: "and" | "or" = "and"): string {
  return names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} ${last} ${names.at(-1)}`;
}

/** "p = 0.063"; two significant digits, "p < 0.0001" below that. */
export function pText(p: number): string {
  if (p < 0.0001) return "p < 0.0001";
  return `p = ${p >= 0.995 ? "1.0" : p.toPrecision(2)}`;
}

/**
 * Decimals for differences: two where all are exact to two, else three; more where the smallest would show as nothing. Of
 * degrees none, and one where the smallest is below 1: no arm is known better.
 *
 * @param least decimals of everything but degrees
 */
export function placesOf(values: readonly number[], unit = "", least = 0): number {
  const smallest = Math.min(...values.map(Math.abs).filter((v) => v > 1e-9));
  if (unit === "°") return smallest < 1 ? 1 : 0;
  return Math.max(least, decimalsOf(values, smallest));
}

function decimalsOf(values: readonly number[], smallest: number): number {
  if (smallest < 0.0005) return 4;
  const hundredths = values.every((v) => Math.abs(100 * v - Math.round(100 * v)) < 1e-6);
  return hundredths ? 2 : 3;
}

/**
 * "0.021 s", of a number without a ±.
 *
 * @param least decimals of everything but degrees
 */
export function sizeText(value: number, unit: string, least = 0): string {
  return withUnit(formatNumber(value, placesOf([value], unit, least)), unit);
}

/** "0.05 to 0.21 s", or "0.10 s" where both print alike. */
export function rangeText(low: number, high: number, unit: string): string {
  const places = placesOf([low, high], unit);
  const [from, to] = [formatNumber(low, places), formatNumber(high, places)];
  return withUnit(from === to ? to : `${from} to ${to}`, unit);
}

/** "0.0085 m (0.0059 to 0.0167 m)": value and interval to the digits that its width allows. */
export function withInterval(value: number, ci95: readonly [number, number], unit: string): string {
  const places = placesFor((ci95[1] - ci95[0]) / 2);
  return `${withUnit(formatNumber(value, places), unit)} (${intervalText(ci95, unit)})`;
}

/** "−0.19 to −0.05 s", to the digits its width allows. */
export function intervalText([low, high]: readonly [number, number], unit: string): string {
  const places = placesFor((high - low) / 2);
  return withUnit(`${formatNumber(low, places)} to ${formatNumber(high, places)}`, unit);
}
