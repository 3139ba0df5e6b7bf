import type { OrWhy } from "../reading.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import { digits, sizeDigits } from "./digits.ts";
import type { Estimate } from "./estimate.ts";
import { plainWords } from "./plainWords.ts";
import type { TechniqueModel } from "./techniqueModel.ts";
import type { Comparison, Verdict } from "./types.ts";
import { shownError } from "./typicalError.ts";

type Plain<T> = T | { value: null; why: string };

/** `compare --json`, exactly as in the contracts. Keys of a quantity carry its unit: `typical_error_s`, `_m`, `_hz`. */
export interface CompareJson {
  readonly format: "blademark.compare";
  readonly version: 1;
  readonly a: string;
  readonly b: string;
  readonly quantity: Comparison["quantity"];
  readonly pairs: readonly {
    readonly skater: string;
    readonly a: number;
    readonly b: number;
    readonly difference: number;
    readonly n_a: number;
    readonly n_b: number;
    readonly verdict: Verdict;
  }[];
  readonly n: number;
  /** `ci95`: the t interval over skaters, which can be narrower than repeats allow; `skaters_in_general` never is. */
  readonly mean_difference: Plain<{ value: number; ci95: Plain<readonly [number, number]> }>;
  readonly sd_of_differences: Plain<number>;
  readonly range_of_differences: Plain<readonly [number, number]>;
  readonly t: Plain<number>;
  readonly df: Plain<number>;
  readonly p_t: Plain<number>;
  readonly p_sign_flip: Plain<number>;
  readonly smallest_possible_p_sign_flip: Plain<number>;
  readonly d_z: Plain<number>;
  readonly g_z: Plain<number>;
  readonly order_effect: Plain<{ value: number; ci95: Plain<readonly [number, number]> }>;
  readonly d_z_ci95: Plain<readonly [number, number]>;
  readonly g_z_ci95: Plain<readonly [number, number]>;
  readonly wilcoxon: Plain<{ v: number; n: number; p: number }>;
  readonly hodges_lehmann: Plain<{ value: number; ci95: Plain<readonly [number, number]> }>;
  readonly equivalence: Plain<{
    bound: number;
    p: number;
    p_low: number;
    p_high: number;
    ci90: readonly [number, number];
  }>;
  readonly mixed_model: Plain<ModelJson>;
  readonly mixed_model_with_order: Plain<ModelJson>;
  /** The comparison in words, as the window says it. */
  readonly sentences: readonly string[];
  readonly warnings: readonly { readonly code: string; readonly text: string }[];
  /** What the sentences rest on: "settled", "these", "open" … */
  readonly conclusion: Comparison["conclusion"];
  /** Mean difference of these skaters, from their repeats; of skaters in general, never narrower; half-widths of 95 %. */
  readonly these_skaters: Plain<{ value: number; u95: number }>;
  readonly skaters_in_general: Plain<{ value: number; u95: number; from: "skaters" | "repeats" }>;
  /** SD between skaters of their response, with its interval; p of all responding alike. */
  readonly response: Plain<{
    sd: number;
    ci95: readonly [number, number];
    p: number;
    df: readonly [number, number];
  }>;
  /** Only where clips time some of the trials. `lean`: share of b's trials that clips timed less a's, mean over skaters. */
  readonly times?: {
    readonly by_clip: number;
    readonly by_photocells: number;
    readonly u95_s: readonly [number, number];
    readonly lean: number;
    readonly offset_u95_s: number;
  };
  readonly order: {
    readonly kind: "balanced" | "leaning" | "one-sided";
    readonly b_later_by: number;
    readonly without_steady_change: Plain<{ value: number; u95: number }>;
  };
}

export interface ModelJson {
  readonly value: number;
  readonly ci95: readonly [number, number];
  readonly se: number;
  readonly df: number;
  readonly p: number;
  readonly sd_skater: number;
  readonly sd_skater_by_technique: Plain<number>;
  readonly sd_trial: number;
}

/** `typical_error_s`, `mdc95_single_s`, `smallest_worthwhile_s`, the unit being the quantity's. */
type WithUnit = Readonly<
  Record<`${"typical_error" | "mdc95_single" | "smallest_worthwhile"}_${string}`, Plain<number>>
>;

export function compareJson(c: Comparison): CompareJson & WithUnit {
  const unit = c.quantity.slice(c.quantity.lastIndexOf("_") + 1);
  const words = plainWords(c);
  const withUnit: WithUnit = {
    [`typical_error_${unit}`]: plain(shownError(c.typicalError)),
    [`mdc95_single_${unit}`]: plain(c.mdc95Single),
    [`smallest_worthwhile_${unit}`]: plain(c.smallestWorthwhile),
  };
  return {
    format: "blademark.compare",
    version: 1,
    a: c.a,
    b: c.b,
    quantity: c.quantity,
    pairs: c.pairs.map((p) => ({
      skater: p.skater,
      a: digits(p.a),
      b: digits(p.b),
      difference: sizeDigits(p.difference),
      n_a: p.nA,
      n_b: p.nB,
      verdict: p.verdict,
    })),
    n: c.n,
    mean_difference: estimate(c.meanDifference),
    sd_of_differences: plain(c.sd),
    range_of_differences: c.range.value === null ? c.range : pair(c.range.value),
    t: plain(c.t),
    df: plain(c.df),
    p_t: plain(c.pT),
    p_sign_flip: plain(c.pSignFlip),
    smallest_possible_p_sign_flip: plain(c.smallestPSignFlip),
    d_z: plain(c.dZ),
    g_z: plain(c.gZ),
    ...withUnit,
    order_effect: estimate(c.orderEffect),
    d_z_ci95: intervalOf(c.dZ),
    g_z_ci95: intervalOf(c.gZ),
    wilcoxon:
      c.signedRank.value === null
        ? c.signedRank
        : { v: c.signedRank.value, n: c.signedRank.n, p: digits(c.signedRank.p) },
    hodges_lehmann:
      c.hodgesLehmann.value === null
        ? c.hodgesLehmann
        : {
            value: sizeDigits(c.hodgesLehmann.value),
            ci95:
              c.hodgesLehmann.interval.value === null
                ? c.hodgesLehmann.interval
                : pair(c.hodgesLehmann.interval.value),
          },
    equivalence:
      c.equivalence.value === null
        ? c.equivalence
        : {
            bound: digits(c.equivalence.bound),
            p: digits(c.equivalence.value),
            p_low: digits(c.equivalence.pLow),
            p_high: digits(c.equivalence.pHigh),
            ci90: pair(c.equivalence.ci90),
          },
    mixed_model: modelJson(c.model),
    mixed_model_with_order: modelJson(c.modelWithPlace),
    sentences: [words.headline, ...words.support],
    warnings: c.warnings,
    conclusion: c.conclusion,
    these_skaters: c.these.value === null ? c.these : sized(c.these),
    skaters_in_general: c.general.value === null ? c.general : { ...sized(c.general), from: c.general.from },
    response:
      c.response.value === null
        ? c.response
        : {
            sd: digits(c.response.value),
            ci95: pair(c.response.ci95),
            p: digits(c.response.p),
            df: c.response.df,
          },
    ...(c.clocks.sds && {
      times: {
        by_clip: c.clocks.byClip,
        by_photocells: c.clocks.byPhotocells,
        u95_s: pair([K95 * c.clocks.sds[0], K95 * c.clocks.sds[1]]),
        lean: sizeDigits(c.clocks.lean),
        offset_u95_s: digits(K95 * c.clocks.offsetSd),
      },
    }),
    order: {
      kind: c.order.kind,
      b_later_by: sizeDigits(c.order.bLaterBy),
      without_steady_change: c.order.steady.value === null ? c.order.steady : sized(c.order.steady),
    },
  };
}

function plain(of: OrWhy<{ readonly value: number }>): Plain<number> {
  return of.value === null ? { value: null, why: of.why } : digits(of.value);
}

function sized(of: { readonly value: number; readonly u95: number }): { value: number; u95: number } {
  return { value: sizeDigits(of.value), u95: digits(of.u95) };
}

function estimate(of: OrWhy<Estimate>): Plain<{ value: number; ci95: Plain<readonly [number, number]> }> {
  if (of.value === null) return { value: null, why: of.why };
  const { value, ci95 } = of;
  return { value: sizeDigits(value), ci95: "why" in ci95 ? ci95 : pair(ci95) };
}

function intervalOf(of: OrWhy<Estimate>): Plain<readonly [number, number]> {
  if (of.value === null) return { value: null, why: of.why };
  return "why" in of.ci95 ? of.ci95 : pair(of.ci95);
}

/** What an optimiser finds is good to some seven digits. */
function modelJson(m: OrWhy<TechniqueModel>): Plain<ModelJson> {
  if (m.value === null) return m;
  const seven = (v: number) => Number(v.toPrecision(7));
  return {
    value: seven(m.value),
    ci95: [seven(m.ci95[0]), seven(m.ci95[1])],
    se: seven(m.standardError),
    df: m.df,
    p: seven(m.p),
    sd_skater: seven(m.sdSkater),
    sd_skater_by_technique:
      m.sdSkaterByTechnique === null
        ? { value: null, why: "Without repeats it cannot be told from the scatter of trials." }
        : seven(m.sdSkaterByTechnique),
    sd_trial: seven(m.sdTrial),
  };
}

function pair([low, high]: readonly [number, number]): readonly [number, number] {
  return [sizeDigits(low), sizeDigits(high)];
}
