import type { Limit } from "../../quantities/limits.ts";
import type { Reading } from "../../reading.ts";
import type { Side } from "../../study/types.ts";
import { type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import type { SideMean, TrialMean } from "../types.ts";
import { doubtOf, type LimitUnit, type Outcome, readingOf, type Shown } from "./readingOf.ts";

export interface SidedOutcome {
  readonly side: Side;
  readonly outcome: Outcome;
}

interface OfMean {
  readonly limit?: Limit | undefined;
  readonly unit?: LimitUnit;
  /** What has the sides. */
  readonly of?: "blade" | "arm";
}

/**
 * Mean of one quantity over a trial, as one linear function of everything that was marked: what strides
 * share (marks, scale, priors) is counted once, so u95 is right although neighbours are correlated. For
 * widths with independent marks this comes to 2 σ √(4n − 3) / 2n, near 2 σ / √(n + 1).
 *
 * @param balanced (mean left + mean right) / 2, in which an error of the midline cancels; else the plain mean
 */
export function trialMean(
  outcomes: readonly SidedOutcome[],
  balanced: boolean,
  shown: Shown,
  { limit, unit, of = "blade" }: OfMean = {},
): TrialMean {
  const had = outcomes.flatMap(({ side, outcome }) =>
    "why" in outcome ? [] : [{ side, value: outcome.value }],
  );
  const [first] = outcomes;
  if (had.length === 0) {
    const whys = outcomes.flatMap(({ outcome }) => ("why" in outcome ? [outcome.why] : []));
    return {
      value: null,
      why: first ? commonest(whys) : "No blade-off is marked, so there are no strides yet.",
    };
  }
  const valuesOf = (side: Side) => had.filter((h) => h.side === side).map((h) => h.value);
  const [left, right] = [valuesOf("left"), valuesOf("right")];
  const all = had.map((h) => h.value);
  const whole = balanced && left.length > 0 && right.length > 0 ? mean([mean(left), mean(right)]) : mean(all);
  const doubt = limit && doubtOf(whole, limit, unit);
  if (doubt) return { value: null, why: doubt };
  const sideMean = (side: Side, values: readonly Uncertain[]): SideMean => {
    if (values.length === 0) return { value: null, why: missingSide(side, of) };
    const own = mean(values);
    const wide = limit && doubtOf(own, limit, unit);
    return wide ? { value: null, why: wide } : { mean: own.value, u95: own.u95, n: values.length };
  };
  const sides = { left: sideMean("left", left), right: sideMean("right", right) };
  const result: TrialMean = {
    mean: whole.value,
    sd: standardDeviation(all.map((v) => v.value)),
    u95: whole.u95,
    n: all.length,
    ...sides,
    leftMinusRight: leftMinusRight(sides, left, right, shown),
  };
  shown?.set(result, whole);
  return result;
}

function missingSide(side: Side, of: "blade" | "arm"): string {
  return of === "arm" ? `No swing of the ${side} arm gives it.` : `No stride of the ${side} blade gives it.`;
}

/**
 * One linear function of everything that was marked, like the means: what both sides share is counted once. An error of the
 * midline, which cancels in their mean, counts twice in it.
 */
function leftMinusRight(
  sides: Readonly<Record<Side, SideMean>>,
  left: readonly Uncertain[],
  right: readonly Uncertain[],
  shown: Shown,
): Reading {
  if ("why" in sides.left) return { value: null, why: sides.left.why };
  if ("why" in sides.right) return { value: null, why: sides.right.why };
  const difference = weightedSum([
    ...left.map((v) => [1 / left.length, v] as const),
    ...right.map((v) => [-1 / right.length, v] as const),
  ]);
  return readingOf({ value: difference }, shown);
}

function mean(values: readonly Uncertain[]): Uncertain {
  return weightedSum(values.map((v) => [1 / values.length, v]));
}

function standardDeviation(values: readonly number[]): number | null {
  if (values.length < 2) return null;
  const centre = values.reduce((sum, v) => sum + v, 0) / values.length;
  return Math.sqrt(values.reduce((sum, v) => sum + (v - centre) ** 2, 0) / (values.length - 1));
}

/** The reason that holds for most strides; among equals the one that comes last, as the first stride's is often its own. */
function commonest(whys: readonly string[]): string {
  const count = (why: string) => whys.filter((w) => w === why).length;
  return whys.reduce((best, why) => (count(why) >= count(best) ? why : best));
}
