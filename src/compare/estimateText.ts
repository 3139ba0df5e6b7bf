import type { OrWhy } from "../reading.ts";
import { formatNumber, placesFor, withUnit } from "../uncertainty/format.ts";
import type { Estimate } from "./estimate.ts";
import { intervalText, placesOf, plusMinus, sizeText } from "./numbers.ts";

/** The same to the digits that its interval shows. */
export function sizedWith(unit: string, value: number, interval: readonly [number, number]): string {
  return withUnit(formatNumber(value, intervalPlaces(interval, unit)), unit);
}

/** "1.28 (0.41 to 2.12)" */
export function plainEstimate({ value, ci95 }: Estimate): string {
  const shown = formatNumber(value, 2);
  return "why" in ci95
    ? `${shown}, without an interval: ${ci95.why}`
    : `${shown} (${formatNumber(ci95[0], 2)} to ${formatNumber(ci95[1], 2)})`;
}

/** "−0.120 ± 0.072 s (−0.192 to −0.048 s)", or the value and why it has no interval. */
export function estimateText(e: Estimate, unit: string): string {
  if ("why" in e.ci95) {
    return `${sizeText(e.value, unit)}, without an interval: ${e.ci95.why}`;
  }
  const u95 = (e.ci95[1] - e.ci95[0]) / 2;
  return `${plusMinus(e.value, u95, unit)} (${intervalText(e.ci95, unit)})`;
}

/** "−0.21 ± 0.06 s", of one skater; without a typical error the difference alone. */
export function differenceText(
  difference: number,
  u95: OrWhy<{ readonly value: number }>,
  unit: string,
): string {
  if (u95.value !== null && u95.value > 0) return plusMinus(difference, u95.value, unit);
  return sizeText(difference, unit);
}

function intervalPlaces([low, high]: readonly [number, number], unit: string): number {
  return Math.max(placesOf([low, high], unit), placesFor(high - low) - 1);
}

/** "0.014 to 0.045 s", to one digit more than its width shows. */
export function intervalOf([low, high]: readonly [number, number], unit: string): string {
  const places = intervalPlaces([low, high], unit);
  const [from, to] = [formatNumber(low, places), formatNumber(high, places)];
  return withUnit(from === to ? to : `${from} to ${to}`, unit);
}
