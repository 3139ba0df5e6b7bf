import type { CompareQuantity } from "../quantities/compared.ts";
import type { OrWhy, Warning } from "../reading.ts";
import type { ClockMix } from "./clockMix.ts";
import type { Estimate } from "./estimate.ts";
import type { Placed } from "./orderEffect.ts";
import type { OrderJudgement } from "./orderJudgement.ts";
import type { OwnScatter } from "./ownScatter.ts";
import type { Response } from "./response.ts";
import type { TechniqueModel } from "./techniqueModel.ts";
import type { Centre, SignedRank } from "./wilcoxon.ts";

/** One trial of the two techniques, or of any other (then it only counts for the run order). */
export interface CompareRow {
  readonly skater: string;
  readonly technique: string;
  readonly order: number;
  /** In the quantity's unit; null = not measured in this trial. */
  readonly value: number | null;
  /** Of a time by a clip: its own standard uncertainty; absent = the photocells'. */
  readonly clipSd?: number;
  /** False = skated, but not to be used. */
  readonly valid: boolean;
  /** Left out because it did not show the technique that was asked for. */
  readonly notAsAsked?: boolean;
}

export type Verdict = "faster" | "slower" | "more" | "less" | "can't tell";

/** One skater's means and their difference, b minus a. */
export interface Pair {
  readonly skater: string;
  readonly a: number;
  readonly b: number;
  readonly difference: number;
  readonly nA: number;
  readonly nB: number;
  /** The trials behind a and b, in the order skated. */
  readonly trialsA: readonly Placed[];
  readonly trialsB: readonly Placed[];
  /**
   * Half-width of the interval of this skater's own difference, wide enough that with 95 % it holds for all skaters at
   * once; from the scatter of one trial.
   */
  readonly u95: OrWhy<{ readonly value: number }>;
  /** Of both means, each by itself. */
  readonly u95A: OrWhy<{ readonly value: number }>;
  readonly u95B: OrWhy<{ readonly value: number }>;
  readonly verdict: Verdict;
  /** What the interval says against the smallest worthwhile change; "open" when it says neither. */
  readonly settles: "worth it" | "not worth it" | "open";
  /**
   * No verdict, but the whole interval is on one side of 0 and the order of trials can't pass for it: what is open is
   * whether the difference matters, not which way it goes.
   */
  readonly oneSide: boolean;
  /** One sentence: why this verdict. */
  readonly why: string;
  /** What one trial of this skater is taken to scatter by. */
  readonly scatter: OrWhy<OwnScatter>;
}

/** A skater who cannot be paired. */
export interface LeftOut {
  readonly skater: string;
  readonly why: string;
}

/**
 * What may be said of two techniques, the strongest that the numbers carry:
 * "order": one was always skated first, so nobody can tell; "depends": some skaters clearly gained and some lost;
 * "settled": a difference for skaters in general; "alike": neither is better by an amount that was said to matter;
 * "these": a difference for these skaters only; "open": not even for them.
 */
export type Conclusion =
  | "nobody"
  | "one skater"
  | "order"
  | "depends"
  | "settled"
  | "alike"
  | "these"
  | "open";

export interface Comparison {
  readonly a: string;
  readonly b: string;
  readonly quantity: CompareQuantity;
  readonly pairs: readonly Pair[];
  readonly leftOut: readonly LeftOut[];
  readonly n: number;
  readonly meanDifference: OrWhy<Estimate>;
  readonly sd: OrWhy<{ readonly value: number }>;
  readonly range: OrWhy<{ readonly value: readonly [number, number] }>;
  readonly t: OrWhy<{ readonly value: number }>;
  readonly df: OrWhy<{ readonly value: number }>;
  readonly pT: OrWhy<{ readonly value: number }>;
  readonly pSignFlip: OrWhy<{ readonly value: number }>;
  readonly smallestPSignFlip: OrWhy<{ readonly value: number }>;
  readonly signedRank: OrWhy<SignedRank>;
  readonly hodgesLehmann: OrWhy<Centre>;
  readonly dZ: OrWhy<Estimate>;
  readonly gZ: OrWhy<Estimate>;
  /** SD of repeats of one skater and one technique, pooled; `df` its degrees of freedom. */
  readonly typicalError: OrWhy<{
    readonly value: number;
    readonly df: number;
    /** What of its square is the ± of times by clips; absent = nothing. */
    readonly clips?: number;
    /** null where repeats are all exactly alike. */
    readonly ci95: readonly [low: number, high: number] | null;
  }>;
  readonly mdc95Single: OrWhy<{ readonly value: number }>;
  readonly smallestWorthwhile: OrWhy<{ readonly value: number; readonly from: "said" | "0.2 SD" }>;
  /** Are the techniques alike, within the smallest worthwhile change? */
  readonly equivalence: OrWhy<Equivalence>;
  readonly model: OrWhy<TechniqueModel>;
  /** The same with a steady change from trial to trial taken out. */
  readonly modelWithPlace: OrWhy<TechniqueModel>;
  /** Change from one of a skater's own trials to the next, whatever the technique. */
  readonly orderEffect: OrWhy<Estimate>;
  /** Mean over skaters of how many places later b was skated than a. */
  readonly bLaterBy: OrWhy<{ readonly value: number }>;
  /** Can the order of trials pass for a difference, and what is left without a steady change? */
  readonly order: OrderJudgement;
  /** The mean difference of these skaters alone, from how well each repeats. */
  readonly these: OrWhy<{ readonly value: number; readonly u95: number }>;
  /**
   * The mean difference of skaters in general: the t interval over skaters, and never narrower than `these`, which a few
   * skaters alike by chance would make it.
   */
  readonly general: OrWhy<{
    readonly value: number;
    readonly u95: number;
    readonly from: "skaters" | "repeats";
  }>;
  /** Do skaters respond alike? */
  readonly response: OrWhy<Response>;
  readonly conclusion: Conclusion;
  /** By which clocks the trials are timed; of measured quantities no clip gives a time. */
  readonly clocks: ClockMix;
  readonly warnings: readonly Warning[];
}

/** What the 90 and 95 % intervals say against the worthwhile difference. */
export interface Equivalence {
  /** The larger of the two one-sided p. */
  readonly value: number;
  /** Against b being lower (higher) by the worthwhile difference or more. */
  readonly pLow: number;
  readonly pHigh: number;
  readonly ci90: readonly [low: number, high: number];
  readonly bound: number;
}
