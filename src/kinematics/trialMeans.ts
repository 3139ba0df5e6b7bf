import type { Side } from "../study/types.ts";
import { type Uncertain, weightedSum } from "../uncertainty/uncertain.ts";
import { doubtOf, type Limit, type Outcome } from "./reading.ts";
import type { TrialMean } from "./types.ts";

/**
 * Mean of one quantity over a trial, as one linear function of everything that was marked: what strides
 * share (marks, scale, priors) is counted once, so u95 is right although neighbours are correlated.
 *
 * @param balanced (mean left + mean right) / 2, in which an error of the midline cancels; else the plain mean
 */
export function trialMean(
  outcomes: readonly { readonly side: Side; readonly outcome: Outcome }[],
  balanced: boolean,
  limit?: Limit,
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
  const [left, right] = [mean(of("left")), mean(of("right"))];
  const all = had.map((h) => h.value);
  const whole = balanced && left && right ? mean([left, right])! : mean(all)!;
  const doubt = limit && doubtOf(whole, limit);
  if (doubt) return { value: null, why: doubt };
  return {
    mean: whole.value,
    sd: standardDeviation(all.map((v) => v.value)),
    u95: whole.u95,
    n: all.length,
    left: left?.value ?? null,
    right: right?.value ?? null,
  };
}

function mean(values: readonly Uncertain[]): Uncertain | null {
  if (values.length === 0) return null;
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
