import { QUANTITY_WORDS } from "../quantities/compared.ts";
import { formatNumber, placesFor, withUnit } from "../uncertainty/format.ts";
import {
  capital,
  countOf,
  countWord,
  intervalText,
  placesOf,
  plusMinus,
  pText,
  rangeText,
} from "./numbers.ts";
import type { Comparison } from "./types.ts";

export interface PlainWords {
  /** What was seen. */
  readonly headline: string;
  /** How far it can be trusted, one sentence each. */
  readonly support: readonly string[];
}

/** Differences below this are no difference: times are decimal, their means binary. */
const NOTHING = 1e-9;

/**
 * The comparison in sentences. They say what these skaters did, then what chance could do, then whether it is
 * worth it; never more than the numbers.
 */
export function plainWords(c: Comparison): PlainWords {
  if (c.n === 0) {
    const why = c.leftOut.map((s) => `${s.skater} has ${s.why}`).join("; ");
    return {
      headline: "Nobody can be compared yet.",
      support: [`${capital(why || `there are no trials with ${c.a} and ${c.b}`)}.`],
    };
  }
  return { headline: headline(c), support: [chance(c), worth(c)].filter((s) => s !== "") };
}

function headline(c: Comparison): string {
  const { unit } = QUANTITY_WORDS[c.quantity];
  const differences = c.pairs.map((p) => p.difference);
  const less = differences.filter((d) => d < -NOTHING).map(Math.abs);
  const more = differences.filter((d) => d > NOTHING);
  const same = c.n - less.length - more.length;
  const [only] = c.pairs;
  if (c.n === 1 && only) {
    if (same === 1) return `${only.skater} ${did(c, "the same")}.`;
    const size = Math.abs(only.difference);
    const size95 = only.u95.value ? plusMinus(size, only.u95.value, unit) : rangeText(size, size, unit);
    return `${only.skater} ${did(c, less.length === 1 ? "less" : "more")}, by ${size95}.`;
  }
  if (same === c.n) return `${everyone(c.n)} ${did(c, "the same")}.`;
  const by = (values: readonly number[]) => rangeText(Math.min(...values), Math.max(...values), unit);
  const sizes = less.length > 0 ? less : more;
  const way = less.length > 0 ? "less" : "more";
  if (sizes.length === c.n) {
    return `${everyone(c.n)} ${did(c, way)}, by ${by(sizes)}${meanIn(c, true)}.`;
  }
  const { more: moreWord, less: lessWord } = QUANTITY_WORDS[c.quantity];
  const groups = [
    { values: less, word: lessWord, way: "less" as const },
    { values: more, word: moreWord, way: "more" as const },
  ].filter((g) => g.values.length > 0);
  groups.sort((x, y) => y.values.length - x.values.length);
  const [first, second] = groups;
  const parts = [
    `${capital(countOf(first!.values.length, c.n))} ${did(c, first!.way)}, by ${by(first!.values)}`,
    ...(second ? [`${countWord(second.values.length)} ${second.word}, by ${by(second.values)}`] : []),
    ...(same > 0 ? [`${countWord(same)} the same`] : []),
  ];
  return `${parts.join("; ")}${meanIn(c, false)}.`;
}

/** "skated open recovery faster"; "had a larger stride width with open recovery" */
function did(c: Comparison, way: "less" | "more" | "the same"): string {
  const words = QUANTITY_WORDS[c.quantity];
  if (c.quantity === "time_s") {
    return way === "the same" ? `skated ${c.a} and ${c.b} in the same time` : `skated ${c.b} ${words[way]}`;
  }
  if (way === "the same") return `had the same ${words.name} with ${c.a} and ${c.b}`;
  return `had a ${words[way]} ${words.name} with ${c.b}`;
}

function everyone(n: number): string {
  return n === 2 ? "Both" : `All ${countWord(n)}`;
}

/** " (mean 0.12 ± 0.07 s)", with its direction where skaters disagree. */
function meanIn(c: Comparison, agree: boolean): string {
  const text = meanWords(c, !agree);
  return text === null ? "" : ` (${text})`;
}

/**
 * "mean 0.12 ± 0.07 s faster"; no direction where it would be a claim: a mean that shows as 0, or whose interval holds
 * 0. Null where there is no interval.
 */
export function meanWords({ meanDifference: m, quantity }: Comparison, directed = true): string | null {
  if (m.value === null || "why" in m.ci95) return null;
  const { unit, more, less } = QUANTITY_WORDS[quantity];
  const u95 = (m.ci95[1] - m.ci95[0]) / 2;
  const size = plusMinus(Math.abs(m.value), u95, unit);
  if (Number(formatNumber(Math.abs(m.value), placesFor(u95))) === 0) return `mean difference ${size}`;
  if (!directed) return `mean ${size}`;
  const way = m.value < 0 ? less : more;
  return Math.abs(m.value) > u95 ? `mean ${size} ${way}` : `mean ${size} ${way}, so either way is possible`;
}

/** p of t where it alone would settle it, with too few skaters for the sign-flip test: `chance` says what t takes for granted. */
function aloneP(c: Comparison): number | null {
  const p = c.pT.value;
  return (c.smallestPSignFlip.value ?? 1) > 0.05 && p !== null && p <= 0.05 ? p : null;
}

/** What chance alone would do. */
function chance(c: Comparison): string {
  if (c.n === 1) {
    const scatter =
      c.typicalError.value === null ? " Without repeats nobody knows how much one trial scatters." : "";
    return `One skater says nothing about others.${scatter}`;
  }
  const smallest = c.smallestPSignFlip.value ?? 1;
  const p = c.pSignFlip.value ?? c.pT.value ?? 1;
  const agreeing = c.n === 2 ? "both" : `all ${countWord(c.n)}`;
  if (smallest > 0.05) {
    const start = `${capital(countWord(c.n))} skaters cannot settle it alone:`;
    const oneIn = 2 ** (c.n - 1);
    const t = aloneP(c);
    const alone =
      t !== null
        ? ` The two tests disagree: t alone gives ${pText(t)}, but it takes for granted how differences spread, which ${countWord(c.n)} skaters cannot show.`
        : "";
    if (p <= smallest * (1 + NOTHING)) {
      const lacking = 6 - c.n;
      const more = `${capital(countWord(lacking))} more who ${lacking === 1 ? "agrees" : "agree"} would bring that to once in 32.`;
      return `${start} even ${agreeing} agreeing happens by chance once in ${oneIn} (sign-flip ${pText(smallest)}, the smallest ${countWord(c.n)} skaters can give). ${more}${alone}`;
    }
    return `${start} even ${agreeing} agreeing would happen by chance once in ${oneIn} (sign-flip ${pText(smallest)}), and they did not agree as clearly as that (${pText(p)}).${alone}`;
  }
  if (c.pT.value !== null && c.pSignFlip.value !== null && c.pT.value <= 0.05 !== c.pSignFlip.value <= 0.05) {
    return `This does not settle it: the two tests fall on opposite sides of 1 in 20 (t ${pText(c.pT.value)}, sign-flip ${pText(c.pSignFlip.value)}).`;
  }
  if (p <= 0.05) {
    const least = p <= smallest * (1 + NOTHING) ? `, the smallest ${countWord(c.n)} skaters can give` : "";
    return `If the techniques made no difference, chance would do this or more about once in ${Math.round(1 / p)} (${pText(p)}${least}).`;
  }
  const often = p >= 0.4 ? "often" : `about once in ${Math.round(1 / p)}`;
  return `This does not settle it: if the techniques made no difference, chance would do this or more ${often} (${pText(p)}).`;
}

/** Whether the mean difference is worth it. */
function worth(c: Comparison): string {
  if (
    c.meanDifference.value === null ||
    "why" in c.meanDifference.ci95 ||
    c.smallestWorthwhile.value === null
  )
    return "";
  const { unit } = QUANTITY_WORDS[c.quantity];
  const [low, high] = c.meanDifference.ci95;
  const band = c.smallestWorthwhile.value;
  const from =
    c.smallestWorthwhile.from === "said" ? "" : ", 0.2 of the spread between skaters, as nobody said what is";
  const bandText = `± ${withUnit(formatNumber(band, placesOf([band])), unit)}${from}`;
  const interval = `the mean's 95 % interval, ${intervalText([low, high], unit)},`;
  // Fewer than six skaters: the interval says more than they can show, and must not sound like the last word.
  const few = (c.smallestPSignFlip.value ?? 1) > 0.05;
  const granted = !few
    ? ""
    : aloneP(c) !== null
      ? " What was said of t holds for this interval too."
      : ` It takes for granted how differences spread, which ${countWord(c.n)} skaters cannot show.`;
  if (low > band || high < -band)
    return `${capital(interval)} lies wholly beyond what is too small to be worth it (${bandText}).${granted}`;
  if (low > -band && high < band) {
    return `${capital(interval)} lies wholly within what is too small to be worth it (${bandText}).${granted}`;
  }
  const alike =
    c.equivalence.value !== null && c.equivalence.value <= 0.05
      ? ` By the equivalence test they are alike within it (${pText(c.equivalence.value)}).`
      : "";
  return `${capital(interval)} also holds differences too small to be worth it (${bandText}).${alike}`;
}
