import { orderEffect, type Placed } from "../compare/orderEffect.ts";
import { EVEN, leadOf, ONE_SIDED } from "../compare/orderJudgement.ts";
import type { OrWhy } from "../reading.ts";
import { mean } from "../statistics/mean.ts";
import { type Pooled, pooledMean, type SkaterDifference } from "./poolDifferences.ts";

/** A skater's difference on an evening with the trials it is made of. */
export interface PlacedDifference extends SkaterDifference {
  readonly trialsA: readonly Placed[];
  readonly trialsB: readonly Placed[];
}

export interface PoolOrder {
  /** "one-sided": over all evenings one technique was (nearly) always skated first, and nothing parts it from the order. */
  readonly kind: "balanced" | "leaning" | "one-sided";
  /** Mean number of places b was skated after a; below 0 = before. */
  readonly bLaterBy: number;
  /** The pooled mean with one steady change from trial to trial taken out. */
  readonly steady: OrWhy<{ readonly value: number; readonly u95: number }>;
}

/** As `judgeOrder` of one evening, over all of them. */
export function poolOrder(rows: readonly PlacedDifference[], pooled: OrWhy<Pooled>): PoolOrder | null {
  if (rows.length === 0) return null;
  const lags = rows.map(({ trialsA, trialsB }) => placeOf(trialsB) - placeOf(trialsA));
  const bLaterBy = mean(lags);
  const lead = Math.abs(mean(rows.map(({ trialsA, trialsB }) => leadOf({ a: trialsA, b: trialsB }))));
  const kind = lead >= ONE_SIDED ? "one-sided" : Math.abs(bLaterBy) <= EVEN ? "balanced" : "leaning";
  return { kind, bLaterBy, steady: steady(rows, lags, pooled) };
}

const placeOf = (trials: readonly Placed[]) => mean(trials.map((t) => t.place));

function steady(
  rows: readonly PlacedDifference[],
  lags: readonly number[],
  pooled: OrWhy<Pooled>,
): PoolOrder["steady"] {
  if (pooled.value === null) return pooled;
  const change = orderEffect(rows.flatMap(({ trialsA, trialsB }) => [trialsA, trialsB]));
  if (change.value === null) return change;
  const { ci95 } = change;
  if ("why" in ci95) return ci95;
  const slope = change.value;
  const left = pooledMean(rows.map((r, i) => ({ ...r, difference: r.difference - slope * lags[i]! })));
  if (left.value === null) return left;
  const doubt = ((ci95[1] - ci95[0]) / 2) * mean(lags);
  return { value: left.value, u95: Math.hypot((left.ci95[1] - left.ci95[0]) / 2, doubt) };
}
