import type { OrWhy } from "../reading.ts";
import { chiSquareQuantile } from "../statistics/distributions.ts";
import { mean, withoutRounding } from "../statistics/mean.ts";
import { REPEATS_ALIKE } from "./meanOfThese.ts";
import type { Comparison } from "./types.ts";

/** 95 % of differences between two trials of the same skater and technique lie within 1.96 sqrt(2) typical errors. */
const MDC_FACTOR = 1.96 * Math.SQRT2;

/**
 * Typical error of one trial: the SD between repeats of the same skater and technique, pooled over all of them.
 *
 * @param cells values of one skater under one technique, in the quantity's unit
 * @see Hopkins (2000), Sports Med 30(1), 1-15
 */
export function typicalError(cells: readonly (readonly number[])[]): Comparison["typicalError"] {
  const df = cells.reduce((sum, cell) => sum + Math.max(0, cell.length - 1), 0);
  if (df === 0) {
    return {
      value: null,
      why: "Nobody has two usable trials with the same technique, so the scatter of one trial is unknown. Repeat trials to learn it.",
    };
  }
  const squares = cells.reduce((sum, cell) => sum + squaresAround(cell), 0);
  const value = Math.sqrt(squares / df);
  const end = (p: number) => value * Math.sqrt(df / chiSquareQuantile(p, df));
  return { value, df, ci95: value === 0 ? null : [end(0.975), end(0.025)] };
}

/** A typical error as it is shown: repeats that are all exactly alike have one, but nobody knows which. */
export function shownError(error: Comparison["typicalError"]): OrWhy<{
  readonly value: number;
  readonly df: number;
  readonly ci95: readonly [low: number, high: number];
}> {
  if (error.value === null) return error;
  const { value, df, ci95 } = error;
  return ci95 === null ? { value: null, why: REPEATS_ALIKE } : { value, df, ci95 };
}

/** Smallest difference between two single trials that is more than their scatter (Weir 2005, J Strength Cond Res 19, 231-240). */
export function mdc95(error: number): number {
  return MDC_FACTOR * error;
}

function squaresAround(cell: readonly number[]): number {
  const centre = mean(cell);
  return cell.reduce((sum, value) => sum + withoutRounding(value - centre, Math.abs(centre)) ** 2, 0);
}
