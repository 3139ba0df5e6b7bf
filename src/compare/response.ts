import type { OrWhy } from "../reading.ts";
import { fQuantile, upperF } from "../statistics/fDistribution.ts";
import { mean, standardDeviation } from "../statistics/mean.ts";
import type { Placed } from "./orderEffect.ts";
import { differenceVariance } from "./trialVariance.ts";

/** How differently skaters respond to the technique, beyond what their trials scatter by. */
export interface Response {
  /** SD between skaters of the true difference; 0 where the differences scatter no more than repeats make them. */
  readonly value: number;
  readonly ci95: readonly [low: number, high: number];
  /** Chance of differences this unlike if all skaters responded alike. */
  readonly p: number;
  readonly df: readonly [number, number];
}

/**
 * Technique by skater against repeats: the variance of the skaters' differences over what repeats alone would give.
 * The interval inverts the same F; with unlike numbers of repeats it is near.
 *
 * @see Searle, Casella & McCulloch (1992), Variance Components, section 3.6: intervals by inversion of F
 */
export function response(
  pairs: readonly {
    readonly difference: number;
    readonly trialsA: readonly Placed[];
    readonly trialsB: readonly Placed[];
  }[],
  error: OrWhy<{ readonly value: number; readonly df: number; readonly clips?: number }>,
): OrWhy<Response> {
  if (pairs.length < 2) return { value: null, why: "Whether skaters respond alike needs two skaters." };
  if (error.value === null) return error;
  if (error.value === 0)
    return { value: null, why: "The repeats are all exactly alike, so nothing can be held against them." };
  const df = [pairs.length - 1, error.df] as const;
  const scatter = { value: error.value, clips: error.clips ?? 0 };
  const fromTrials = mean(pairs.map((p) => differenceVariance(scatter, p)));
  const f = standardDeviation(pairs.map((p) => p.difference)) ** 2 / fromTrials;
  const sd = (ratio: number) => Math.sqrt(Math.max(0, ratio - 1) * fromTrials);
  return {
    value: sd(f),
    ci95: [sd(f / fQuantile(0.975, ...df)), sd(f / fQuantile(0.025, ...df))],
    p: upperF(f, ...df),
    df,
  };
}
