import type { OrWhy } from "../reading.ts";
import { t975 } from "../statistics/distributions.ts";
import { mean, standardDeviation } from "../statistics/mean.ts";
import type { Estimate } from "./estimate.ts";
import type { Placed } from "./orderEffect.ts";

/** Up to so many places in the mean are no lead: a steady change of 0.03 s a trial would make 1.5 ms of it. */
export const EVEN = 0.05;
/** From here on nearly everybody skated one technique wholly before the other: AB or AABB give 1, ABAB 0.5, ABBA 0. */
export const ONE_SIDED = 0.75;

export interface OrderJudgement {
  /** "one-sided": technique and order are the same thing, and nothing but a guess about the day parts them. */
  readonly kind: "balanced" | "leaning" | "one-sided";
  /** Skaters skated one technique wholly before the other, if not all the same: a skater's own day passes for it. */
  readonly blocks: boolean;
  /** Mean number of places b was skated after a; below 0 = before. */
  readonly bLaterBy: number;
  /** The mean difference with one steady change from trial to trial taken out. */
  readonly steady: OrWhy<{ readonly value: number; readonly u95: number }>;
}

interface Lagged {
  readonly a: readonly Placed[];
  readonly b: readonly Placed[];
}

/**
 * Whether the order of trials can pass for a difference of techniques, and what is left without a steady change: the
 * change seen between repeats times the places that b came later; without repeats, from skaters who skated in different
 * orders.
 *
 * @param paired skaters with both techniques
 * @param change from one trial to the next, `orderEffect`
 * @param least half-width that the skaters' repeats allow, 0 where it is not known
 * @see Senn (2002), Cross-over Trials in Clinical Research, chapter 3: differences against period
 */
export function judgeOrder(
  paired: readonly Lagged[],
  change: OrWhy<Estimate>,
  least: number,
): OrderJudgement {
  const lags = paired.map(({ a, b }) => mean(b.map((t) => t.place)) - mean(a.map((t) => t.place)));
  const bLaterBy = lags.length === 0 ? 0 : mean(lags);
  const size = Math.abs(bLaterBy);
  const lead = paired.length === 0 ? 0 : Math.abs(mean(paired.map(leadOf)));
  const kind = lead >= ONE_SIDED ? "one-sided" : size <= EVEN ? "balanced" : "leaning";
  const differences = paired.map(({ a, b }) => mean(b.map((t) => t.value)) - mean(a.map((t) => t.value)));
  const blocks = paired.length > 0 && mean(paired.map(inBlocks).map(Number)) > 0.5;
  return { kind, blocks, bLaterBy, steady: steady(lags, differences, change, least) };
}

/** Did this skater skate one technique (nearly) wholly before the other? */
export function inBlocks(skater: Lagged): boolean {
  return Math.abs(leadOf(skater)) >= ONE_SIDED;
}

/** Share of a skater's pairs of trials in which b came after a, less the share in which it came before. */
export function leadOf({ a, b }: Lagged): number {
  return mean(b.flatMap((y) => a.map((x) => Math.sign(y.place - x.place))));
}

function steady(
  lags: readonly number[],
  differences: readonly number[],
  change: OrWhy<Estimate>,
  least: number,
): OrderJudgement["steady"] {
  const n = lags.length;
  if (change.value === null || "why" in change.ci95) return atNoLag(lags, differences);
  if (n < 2) return { value: null, why: "It needs two skaters with both techniques." };
  const slope = change.value;
  const left = differences.map((d, i) => d - slope * lags[i]!);
  const over = (t975(n - 1) * standardDeviation(left)) / Math.sqrt(n);
  const doubt = ((change.ci95[1] - change.ci95[0]) / 2) * mean(lags);
  const u95 = Math.hypot(Math.max(over, least), doubt);
  // Times are decimal, their means binary: this is none.
  if (!(u95 > 1e-9)) return { value: null, why: "There is no scatter to judge the order by." };
  return { value: mean(left), u95 };
}

/** Where the line of differences against lags crosses no lag. */
function atNoLag(lags: readonly number[], differences: readonly number[]): OrderJudgement["steady"] {
  const n = lags.length;
  const none = (why: string) => ({ value: null, why }) as const;
  if (n < 3)
    return none(
      "Without repeats that differ, order cannot be told from technique by fewer than three skaters.",
    );
  const [x, y] = [mean(lags), mean(differences)];
  const xx = lags.reduce((sum, v) => sum + (v - x) ** 2, 0);
  if (xx < 1e-9)
    return none(
      "All skated in the same order, and without repeats that differ nothing parts order from technique.",
    );
  const slope = lags.reduce((sum, v, i) => sum + (v - x) * (differences[i]! - y), 0) / xx;
  const rest = lags.reduce((sum, v, i) => sum + (differences[i]! - y - slope * (v - x)) ** 2, 0);
  const value = y - slope * x;
  const error = Math.sqrt((rest / (n - 2)) * (1 / n + x ** 2 / xx));
  if (!(error > 1e-12 * (1 + Math.abs(y)))) return none("There is no scatter to judge the order by.");
  return { value, u95: t975(n - 2) * error };
}
