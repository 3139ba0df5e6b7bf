import { twoSidedP } from "../statistics/distributions.ts";
import { differenceVariance } from "./trialVariance.ts";
import type { Comparison, Pair } from "./types.ts";

/** The wider of what skaters' differences and what their own repeats leave open. */
export function inGeneral(
  over: Comparison["meanDifference"],
  these: Comparison["these"],
): Comparison["general"] {
  if (over.value === null) return over;
  const { value, ci95 } = over;
  if ("why" in ci95) return ci95;
  const half = (ci95[1] - ci95[0]) / 2;
  return these.value !== null && these.u95 > half
    ? { value, u95: these.u95, from: "repeats" }
    : { value, u95: half, from: "skaters" };
}

/** p of no difference from the scatter of repeats alone: 0.05 where `these` just reaches 0. */
export function pOfRepeats(
  difference: number,
  error: { readonly value: number; readonly df: number; readonly clips?: number },
  pairs: readonly Pick<Pair, "trialsA" | "trialsB">[],
): number {
  const scatter = { value: error.value, clips: error.clips ?? 0 };
  const variance = pairs.reduce((sum, p) => sum + differenceVariance(scatter, p), 0);
  const standardError = Math.sqrt(variance) / pairs.length;
  return twoSidedP(difference / standardError, error.df);
}
