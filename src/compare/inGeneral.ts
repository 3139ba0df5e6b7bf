import { twoSidedP } from "../statistics/distributions.ts";
import type { Comparison } from "./types.ts";

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
  error: { readonly value: number; readonly df: number },
  pairs: readonly { readonly nA: number; readonly nB: number }[],
): number {
  const shares = pairs.reduce((sum, p) => sum + 1 / p.nA + 1 / p.nB, 0);
  const standardError = (error.value * Math.sqrt(shares)) / pairs.length;
  return twoSidedP(difference / standardError, error.df);
}
