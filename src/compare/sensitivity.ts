import { QUANTITY_WORDS } from "../quantities/compared.ts";
import { mean } from "../statistics/mean.ts";
import { formatNumber, placesFor, withUnit } from "../uncertainty/format.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import { leanOf } from "./clockMix.ts";
import { meanOfThese } from "./meanOfThese.ts";
import { plusMinus } from "./numbers.ts";
import { pairedStatistics } from "./pairedStatistics.ts";
import type { Comparison } from "./types.ts";

/** One line of what becomes of the mean difference, b minus a. */
export interface SensitivityRow {
  readonly label: string;
  /** "−0.12 ± 0.07 s", or why there is none. */
  readonly text: string;
  readonly isKnown: boolean;
  /** Skaters that are left. */
  readonly n: number;
  /** Which trials are meant, and what is not known of the others; empty where there is nothing to say. */
  readonly note: string;
}

/** Trials left out, and what is left without them. */
export interface Without {
  readonly comparison: Comparison;
  readonly note: string;
  /** Where nothing can be said of the rest though it has numbers: why. */
  readonly nothing?: string;
}

/** What the mean difference becomes without single skaters, without doubtful trials, and without a steady change. */
export function sensitivity(
  all: Comparison,
  without: { readonly doubted: Without | null; readonly notAsAsked: Without | null },
): SensitivityRow[] {
  if (all.n === 0) return [];
  return [
    { label: "All trials", ...meanOf(all), note: "" },
    ...(all.n < 3 ? [] : [leaveOneOut(all)]),
    ...(without.doubted ? [rest("Without clips that do not fit", without.doubted)] : []),
    ...(without.notAsAsked ? [rest("Without trials not as asked", without.notAsAsked)] : []),
    ...(all.n < 2 ? [] : [orderTakenOut(all)]),
  ];
}

function rest(label: string, { comparison, note, nothing }: Without): SensitivityRow {
  return nothing === undefined
    ? { label, ...meanOf(comparison), note }
    : { label, text: nothing, isKnown: false, n: comparison.n, note };
}

function meanOf({ general, n, quantity }: Comparison): Pick<SensitivityRow, "text" | "isKnown" | "n"> {
  if (n === 0) return { text: "nobody is left to compare", isKnown: false, n };
  if (general.value === null) {
    return { text: n === 1 ? "one skater has no interval" : "no scatter to judge it by", isKnown: false, n };
  }
  return { text: plusMinus(general.value, general.u95, QUANTITY_WORDS[quantity].unit), isKnown: true, n };
}

/** How far the mean moves when each skater in turn is left out, and how wide its interval gets. */
function leaveOneOut({ pairs, quantity, typicalError, clocks, n }: Comparison): SensitivityRow {
  const label = "Without one skater, each in turn";
  const means = pairs.map((gone) => {
    const left = pairs.filter((p) => p !== gone);
    const { meanDifference } = pairedStatistics(left);
    const { value, ci95 } = meanDifference.value === null ? { value: 0, ci95: null } : meanDifference;
    const over = ci95 === null || "why" in ci95 ? 0 : (ci95[1] - ci95[0]) / 2;
    const least = meanOfThese(left, typicalError);
    const u95 = Math.max(over, least.value === null ? 0 : least.u95);
    return { value, u95: Math.hypot(u95, K95 * clocks.offsetSd * mean(left.map(leanOf))) };
  });
  const values = means.map((m) => m.value);
  const widest = Math.max(...means.map((m) => m.u95));
  const { unit } = QUANTITY_WORDS[quantity];
  const places = placesFor(widest || 0.01);
  const shown = (v: number) => formatNumber(v, places);
  const [low, high] = [shown(Math.min(...values)), shown(Math.max(...values))];
  const range = withUnit(low === high ? low : `${low} to ${high}`, unit);
  const doubt = widest === 0 ? "" : `, ±\u00a0${withUnit(shown(widest), unit)} at most`;
  return { label, text: `${range}${doubt}`, isKnown: true, n: n - 1, note: "" };
}

/** As part of a table, not as a sentence. */
const lower = (sentence: string) => sentence.replace(/^./, (c) => c.toLowerCase()).replace(/\.$/, "");

function orderTakenOut({ order, n, quantity }: Comparison): SensitivityRow {
  const label = "A steady change from trial to trial taken out";
  const { steady } = order;
  return steady.value === null
    ? { label, text: lower(steady.why), isKnown: false, n, note: "" }
    : {
        label,
        text: plusMinus(steady.value, steady.u95, QUANTITY_WORDS[quantity].unit),
        isKnown: true,
        n,
        note: "",
      };
}
