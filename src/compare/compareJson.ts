import type { Comparison, Estimate, Had, Verdict } from "./types.ts";

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
  readonly warnings: readonly { readonly code: string; readonly text: string }[];
}

/** `typical_error_s`, `mdc95_single_s`, `smallest_worthwhile_s`, the unit being the quantity's. */
type WithUnit = Readonly<
  Record<`${"typical_error" | "mdc95_single" | "smallest_worthwhile"}_${string}`, Plain<number>>
>;

export function compareJson(c: Comparison): CompareJson & WithUnit {
  const unit = c.quantity.slice(c.quantity.lastIndexOf("_") + 1);
  const withUnit: WithUnit = {
    [`typical_error_${unit}`]: plain(c.typicalError),
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
      difference: digits(p.difference),
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
    warnings: c.warnings,
  };
}

function plain(had: Had<{ readonly value: number }>): Plain<number> {
  return had.value === null ? { value: null, why: had.why } : digits(had.value);
}

function estimate(had: Had<Estimate>): Plain<{ value: number; ci95: Plain<readonly [number, number]> }> {
  if (had.value === null) return { value: null, why: had.why };
  const { value, ci95 } = had;
  return { value: digits(value), ci95: "why" in ci95 ? ci95 : pair(ci95) };
}

function pair([low, high]: readonly [number, number]): readonly [number, number] {
  return [digits(low), digits(high)];
}

/** Twelve digits: all that is known and none of the binary rounding (-0.2999999999999998). */
function digits(value: number): number {
  return Number(value.toPrecision(12));
}
