import type { Limit } from "../../quantities/limits.ts";
import type { Side } from "../../study/types.ts";
import { type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import type { SideMean, TrialMean } from "../types.ts";
import { doubtOf, type Outcome, type Shown } from "./readingOf.ts";

export interface SidedOutcome {
  readonly side: Side;
  readonly outcome: Outcome;
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
  limit?: Limit,
  unit?: "m" | "m/s",
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
  const of = (side: Side) => had.filter((h) => h.side === side).map((h) => h.value);
  const [left, right] = [of("left"), of("right")];
  const all = had.map((h) => h.value);
  const whole = balanced && left.length > 0 && right.length > 0 ? mean([mean(left), mean(right)]) : mean(all);
  const doubt = limit && doubtOf(whole, limit, unit);
  if (doubt) return { value: null, why: doubt };
  const result: TrialMean = {
    mean: whole.value,
    sd: standardDeviation(all.map((v) => v.value)),
    u95: whole.u95,
    n: all.length,
    left: sideMean("left", left, limit, unit),
    right: sideMean("right", right, limit, unit),
  };
  shown?.set(result, whole);
  return result;
}

function sideMean(
  side: Side,
  values: readonly Uncertain[],
  limit: Limit | undefined,
  unit: "m" | "m/s" | undefined,
): SideMean {
  if (values.length === 0) return { value: null, why: `No stride of the ${side} blade gives it.` };
  const whole = mean(values);
  const doubt = limit && doubtOf(whole, limit, unit);
  return doubt ? { value: null, why: doubt } : { mean: whole.value, u95: whole.u95, n: values.length };
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
