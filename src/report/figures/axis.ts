import { formatNumber } from "../../uncertainty/format.ts";

/** A number laid off along a line of the drawing, px. */
export interface Axis {
  readonly domain: readonly [low: number, high: number];
  readonly range: readonly [from: number, to: number];
  at(value: number): number;
  readonly ticks: readonly { readonly at: number; readonly text: string }[];
}

/**
 * A linear axis with round ticks.
 *
 * @param low not above `high`; where both are the same the axis has some width all the same
 * @param apart px that ticks are to be apart at least
 */
export function axis(
  [low, high]: readonly [number, number],
  [from, to]: readonly [number, number],
  apart: number,
): Axis {
  const most = Math.max(2, Math.abs(to - from) / apart);
  let step = roundStep((high - low) / most);
  // One tick alone says nothing of the scale.
  while (Math.floor(high / step + 1e-9) - Math.ceil(low / step - 1e-9) < 1) step = roundStep(0.35 * step);
  const places = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const at = (value: number) => from + ((value - low) / (high - low)) * (to - from);
  const first = Math.ceil(low / step - 1e-9);
  const count = Math.floor(high / step + 1e-9) - first + 1;
  const ticks = Array.from({ length: Math.max(0, count) }, (_, k) => {
    const value = (first + k) * step;
    return { at: at(value), text: formatNumber(value, places) };
  });
  return { domain: [low, high], range: [from, to], at, ticks };
}

/** From the least to the largest with a share of room, never of no width. */
export function roomy(values: readonly number[], share: number): [low: number, high: number] {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const room = share * (high - low || 0.1);
  return [low - room, high + room];
}

/** The least of 1, 2, 5, 10, 20 … that is no less. */
function roundStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((k) => k * power).find((step) => step >= least * (1 - 1e-9)) ?? 10 * power;
}
