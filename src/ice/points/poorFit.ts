import { chiSquareQuantile } from "../../statistics/distributions.ts";

/*
 * When ice points agree too badly with their fit. The misfit is the root of chi-square over its degrees of freedom, in
 * marking SD, and the fewer degrees of freedom, the larger it gets by chance: five good points exceed 1.4 in 14 sets of
 * 100, eight in 5, twelve in 1. So what counts is how often chance does it.
 */

/** Good sets that are said to disagree, whatever the number of points. */
const FALSE_ALARMS = 0.02;
/** Good sets that are refused. */
const FALSE_REFUSALS = 1e-6;
/** However many points there are, a misfit below these is small enough to be lived with, or only told. */
const POOR = 1.4;
const REFUSED = 3;

/** Misfit, in marking SD, over which points are said to disagree: by chance one set in fifty, fewer beyond ten points. */
export function poorMisfit(freedom: number): number {
  return Math.max(POOR, byChance(FALSE_ALARMS, freedom));
}

/** Misfit, in marking SD, over which points are refused: by chance no more than one set in a million. */
export function refusedMisfit(freedom: number): number {
  return Math.max(REFUSED, byChance(FALSE_REFUSALS, freedom));
}

function byChance(share: number, freedom: number): number {
  return freedom > 0 ? Math.sqrt(chiSquareQuantile(1 - share, freedom) / freedom) : Number.POSITIVE_INFINITY;
}
