import { differenceText } from "../../compare/estimateText.ts";
import type { Placed } from "../../compare/orderEffect.ts";
import type { Comparison, Pair } from "../../compare/types.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { median } from "../../statistics/median.ts";
import { K95 } from "../../uncertainty/uncertain.ts";
import { type Axis, axis, roomy } from "./axis.ts";
import { nameWidth, shortened } from "./skaterRows.ts";

/** What stands beside a skater's difference: "faster", "too small to matter", "may be too small", "can't tell". */
export function pairWords(pair: Pair): string {
  if (pair.verdict !== "can't tell") return pair.verdict;
  if (pair.settles === "not worth it") return "too small to matter";
  return pair.oneSide ? "may be too small to matter" : "can’t tell";
}

/** As much as a row has room for. */
export function shortWords(pair: Pair): string {
  return pairWords(pair).replace(" to matter", "");
}

/** Good is faster, bad is slower; more or less of a measure is neither; what is not claimed is quiet. */
export function verdictColour({ verdict }: Pair): "good" | "bad" | "ink" | "quiet" {
  if (verdict === "can't tell") return "quiet";
  return verdict === "faster" ? "good" : verdict === "slower" ? "bad" : "ink";
}

/**
 * What of the means may be drawn as clear: of these skaters and of skaters in general, as the sentences claim it.
 *
 * @param tested false: the trials were not of these techniques
 */
export function claimedMeans(c: Comparison, tested: boolean): Readonly<Record<MeanRow["of"], boolean>> {
  const beyond = c.these.value !== null && Math.abs(c.these.value) > c.these.u95;
  const settled = tested && c.conclusion === "settled";
  const these = tested && (c.conclusion === "these" || c.conclusion === "alike") && beyond && !c.order.blocks;
  return { these: these || (settled && beyond), general: settled };
}

/** One line of the picture; y is its middle, px. */
interface Row {
  readonly y: number;
  readonly name: string;
  readonly difference: number;
  /** null: not known. */
  readonly u95: number | null;
  readonly text: string;
}

export interface SkaterRow extends Row {
  readonly pair: Pair;
  /** The skater's trials in the order skated, each with its y. */
  readonly a: readonly (Placed & { readonly y: number })[];
  readonly b: readonly (Placed & { readonly y: number })[];
}

export interface MeanRow extends Row {
  readonly of: "these" | "general";
}

/** Where everything of the picture stands, px. */
export interface EachSkaterRows {
  readonly skaters: readonly SkaterRow[];
  readonly means: readonly MeanRow[];
  readonly rowHeight: number;
  /** Between a skater's first, second … trials. */
  readonly apart: number;
  /** Letters of names and numbers. */
  readonly letters: number;
  readonly top: number;
  readonly bottom: number;
  /** Below the last skater, where the means have no trials. */
  readonly trialsBottom: number;
  readonly height: number;
  readonly width: number;
  readonly trials: Axis;
  readonly differences: Axis;
}

/** Rows share this much height, so that twenty skaters still stand on one sheet below the answer. */
const HEIGHT = 490;
const [LEAST_ROW, MOST_ROW] = [13, 44];
const TOP = 30;
const FOOT = 42;
/** Mean width of a letter of the numbers, of its height. */
const LETTER = 0.57;
const GAP = 26;

export function eachSkaterRows(c: Comparison, width: number): EachSkaterRows {
  const { unit } = QUANTITY_WORDS[c.quantity];
  const of = meanRows(c);
  const rowHeight = Math.min(MOST_ROW, Math.max(LEAST_ROW, HEIGHT / (c.n + of.length)));
  const letters = Math.min(14, Math.round(0.8 * rowHeight));
  const most = Math.max(...c.pairs.flatMap((p) => [p.nA, p.nB]));
  const apart = Math.min(8, (0.62 * rowHeight) / Math.max(1, most - 1));
  const pairs = [...c.pairs].sort((x, y) => x.difference - y.difference);
  const skaters = pairs.map((pair, k): SkaterRow => {
    const y = TOP + (k + 0.5) * rowHeight;
    const laid = (trials: readonly Placed[]) =>
      trials.map((t, i) => ({ ...t, y: y + (i - (most - 1) / 2) * apart }));
    return {
      ...{ y, pair, name: shortened(pair.skater), difference: pair.difference, u95: pair.u95.value },
      text: `${differenceText(pair.difference, pair.u95, unit)}  ${shortWords(pair)}`,
      ...{ a: laid(pair.trialsA), b: laid(pair.trialsB) },
    };
  });
  const meansTop = TOP + rowHeight * c.n + (of.length > 0 ? 8 : 0);
  const means = of.map((row, k) => ({ ...row, y: meansTop + (k + 0.5) * rowHeight }));
  const bottom = meansTop + rowHeight * means.length;
  const left = nameWidth(
    skaters.map((s) => s.name),
    letters,
  );
  const right = 14 + LETTER * (letters - 1) * Math.max(...[...skaters, ...means].map((r) => r.text.length));
  const panel = Math.max(60, (width - left - right - GAP) / 2);
  const at = left + 8;
  return {
    ...{
      skaters,
      means,
      rowHeight,
      apart,
      letters,
      width,
      top: TOP,
      bottom,
      trialsBottom: TOP + rowHeight * c.n,
      height: bottom + FOOT,
    },
    trials: axis(trialDomain(c), [at, at + panel - 8], 58),
    differences: axis(differenceDomain(c), [at + panel + GAP, at + 2 * panel + GAP - 8], 52),
  };
}

/** Two or more skaters have a mean: of these alone, and of skaters in general. */
function meanRows(c: Comparison): Omit<MeanRow, "y">[] {
  if (c.n < 2) return [];
  const { unit } = QUANTITY_WORDS[c.quantity];
  const row = (of: MeanRow["of"], had: Comparison["these"] | Comparison["general"]) =>
    had.value === null
      ? []
      : [
          {
            ...{ of, name: of === "these" ? "Mean" : "", difference: had.value, u95: had.u95 },
            text: differenceText(had.value, { value: had.u95 }, unit),
          },
        ];
  const rows = [...row("these", c.these), ...row("general", c.general)];
  return rows.map((r, k) => (k === 0 ? { ...r, name: "Mean" } : r));
}

/** Every trial of the skaters compared. */
export function trialDomain(c: Comparison): [low: number, high: number] {
  return roomy(
    c.pairs.flatMap((p) =>
      [...p.trialsA, ...p.trialsB].flatMap(({ value, clipSd = 0 }) => [
        value - K95 * clipSd,
        value + K95 * clipSd,
      ]),
    ),
    0.08,
  );
}

/**
 * Zero, the band, every difference, and every interval as far as it tells: one that is many times wider than the others'
 * would leave these no room, so it may run out of the picture.
 */
export function differenceDomain(c: Comparison): [low: number, high: number] {
  const known = c.pairs.flatMap((p) => (p.u95.value === null ? [] : [p.u95.value]));
  const usual = known.length === 0 ? 0 : median(known);
  const means = meanRows(c).flatMap((m) => [m.difference - (m.u95 ?? 0), m.difference + (m.u95 ?? 0)]);
  const band = c.smallestWorthwhile.value ?? 0;
  const always = [0, -band, band, ...means, ...c.pairs.map((p) => p.difference)];
  const [least, most] = [Math.min(...always) - 1.5 * usual, Math.max(...always) + 1.5 * usual];
  const ends = c.pairs.flatMap((p) =>
    [-1, 1].map((side) => p.difference + side * (p.u95.value ?? 0)).filter((v) => v >= least && v <= most),
  );
  return roomy([...always, ...ends], 0.06);
}
