import type { CompareQuantity } from "../quantities/compared.ts";
import type { OrWhy } from "../reading.ts";
import { mean, standardDeviation } from "../statistics/mean.ts";
import type { Lane } from "../study/types.ts";
import { clockMix, untestable, withOffset } from "./clockMix.ts";
import { conclude } from "./conclusion.ts";
import { equivalence } from "./equivalence.ts";
import { inGeneral } from "./inGeneral.ts";
import { meanOfThese } from "./meanOfThese.ts";
import { bLaterBy, orderEffect, type Placed } from "./orderEffect.ts";
import { inBlocks, judgeOrder } from "./orderJudgement.ts";
import { ownScatters } from "./ownScatter.ts";
import { pairedStatistics } from "./pairedStatistics.ts";
import { response } from "./response.ts";
import { techniqueModel } from "./techniqueModel.ts";
import { clipsShare } from "./trialVariance.ts";
import type { CompareRow, Comparison, LeftOut } from "./types.ts";
import { mdc95, shownError, typicalError } from "./typicalError.ts";
import { judgePair } from "./verdict.ts";
import { compareWarnings } from "./warnings.ts";

export interface CompareRequest {
  readonly rows: readonly CompareRow[];
  readonly a: string;
  readonly b: string;
  readonly quantity: CompareQuantity;
  /** Smallest difference worth having, in the quantity's unit; null = 0.2 of the SD between skaters. */
  readonly worthwhile: number | null;
  /** Of the photocells; counts only where clips time some trials. Absent = not said. */
  readonly beam?: Lane["gateBeam"];
}

/** One skater's usable trials of both techniques. */
export interface SkaterTrials {
  readonly skater: string;
  readonly a: readonly Placed[];
  readonly b: readonly Placed[];
}

/**
 * Compares two techniques within skaters: each skater's repeats are averaged first, then the pairs of means are
 * compared. Trials are never counted as independent people. `difference` = b minus a throughout; values are in
 * the quantity's own unit.
 */
export function compareTechniques(request: CompareRequest): Comparison {
  const { rows, a, b } = request;
  const inCells = skatersOf(rows, a, b).map((s) => ({ skater: s.skater, cells: [s.a, s.b] }));
  const models = { model: techniqueModel(inCells), modelWithPlace: techniqueModel(inCells, true) };
  const result = { ...compareJudged(request), ...models };
  return { ...result, warnings: compareWarnings(result, rows) };
}

/** Everything that is concluded from; the mixed models, which only stand beside it, take most of the time. */
type Judged = Omit<Comparison, "model" | "modelWithPlace" | "warnings">;

/** Who can be paired, each skater's repeats averaged, and who can't be and why. */
export function pairsOf({ rows, a, b }: Pick<CompareRequest, "rows" | "a" | "b">) {
  const skaters = skatersOf(rows, a, b);
  const paired = skaters.filter((s) => s.a.length > 0 && s.b.length > 0);
  const means = paired.map((s) => ({
    skater: s.skater,
    a: mean(s.a.map((p) => p.value)),
    b: mean(s.b.map((p) => p.value)),
    nA: s.a.length,
    nB: s.b.length,
    trialsA: s.a,
    trialsB: s.b,
  }));
  return { skaters, paired, means, leftOut: skaters.flatMap((s) => whyLeftOut(s, rows, a, b)) };
}

export function compareJudged(request: CompareRequest): Judged {
  const { rows, a, b, quantity, worthwhile, beam = "not said" } = request;
  const { skaters, paired, means, leftOut } = pairsOf({ rows, a, b });
  const cells = skaters.flatMap((s) => [s.a, s.b]);
  const clocks = clockMix(means, beam);
  const error = scatterOfTrials(cells);
  const worth = smallestWorthwhile(means, worthwhile);
  const statistics = pairedStatistics(means);
  const repeats = meanOfThese(means, error);
  const these = withOffset(repeats, clocks);
  const change = orderEffect(cells);
  const judged = judgeOrder(paired, change, repeats.value === null ? 0 : repeats.u95);
  const order = { ...judged, steady: withOffset(judged.steady, clocks) };
  // Also skaters with one technique only say how trials scatter.
  const scatters = ownScatters(skaters.map((s) => [s.a, s.b]));
  const pairs = means.map((m, i) =>
    judgePair(m, {
      ...{
        quantity,
        worth,
        skaters: means.length,
        trend: scatters.trend,
        oneSided: order.kind === "one-sided" || inBlocks(paired[i]!),
      },
      scatter: scatters.of[skaters.indexOf(paired[i]!)]!,
      bLaterBy: lag(paired[i]!),
      offsetSd: clocks.offsetSd,
    }),
  );
  const result = {
    a,
    b,
    quantity,
    pairs,
    leftOut,
    ...statistics,
    typicalError: error,
    mdc95Single: detectable(error),
    smallestWorthwhile: worth,
    equivalence: equivalence(statistics, worth),
    orderEffect: change,
    bLaterBy: bLaterBy(paired),
    order,
    these,
    general: withOffset(inGeneral(statistics.meanDifference, repeats), clocks),
    response: response(pairs, error),
    clocks,
  };
  return { ...result, ...untested(result), conclusion: conclude(result) };
}

function detectable(error: Comparison["typicalError"]): Comparison["mdc95Single"] {
  const shown = shownError(error);
  return shown.value === null ? shown : { value: mdc95(shown.value) };
}

/** Repeats of all clocks together, and what of their scatter is the clips'. */
function scatterOfTrials(cells: readonly (readonly Placed[])[]): Comparison["typicalError"] {
  const error = typicalError(cells.map((cell) => cell.map((p) => p.value)));
  const clips = clipsShare(cells);
  return error.value === null || clips === 0 ? error : { ...error, clips };
}

/** What is not shown where the clocks lean: every test, and what is made of one. It is concluded from with them all the same. */
function untested(c: Omit<Judged, "conclusion">): Partial<Judged> {
  const why = c.general.value === null ? null : untestable(c.clocks, c.general.u95, c.a, c.b);
  if (why === null || c.meanDifference.value === null) return {};
  const none = { value: null, why } as const;
  const tests = { t: none, pT: none, pSignFlip: none, signedRank: none, hodgesLehmann: none };
  return {
    ...tests,
    ...{ dZ: none, gZ: none, equivalence: none, response: none },
    meanDifference: { value: c.meanDifference.value, ci95: none },
  };
}

function skatersOf(rows: readonly CompareRow[], a: string, b: string): SkaterTrials[] {
  return [...new Set(rows.map((row) => row.skater))].map((skater) => trialsOf(skater, rows, a, b));
}

function lag({ a, b }: SkaterTrials): number {
  return mean(b.map((t) => t.place)) - mean(a.map((t) => t.place));
}

/** Places count every trial the skater skated, also void ones and those of other techniques. */
function trialsOf(skater: string, rows: readonly CompareRow[], a: string, b: string): SkaterTrials {
  const own = rows.filter((row) => row.skater === skater).sort((x, y) => x.order - y.order);
  const of = (technique: string) =>
    own.flatMap((row, i) =>
      row.technique === technique && row.valid && !row.notAsAsked && row.value !== null
        ? [
            {
              ...{ place: i + 1, value: row.value },
              ...(row.clipSd === undefined ? {} : { clipSd: row.clipSd }),
            },
          ]
        : [],
    );
  return { skater, a: of(a), b: of(b) };
}

function whyLeftOut(s: SkaterTrials, rows: readonly CompareRow[], a: string, b: string): LeftOut[] {
  if (s.a.length > 0 && s.b.length > 0) return [];
  const lacking = [...(s.a.length === 0 ? [a] : []), ...(s.b.length === 0 ? [b] : [])];
  const inEither = rows.some((r) => r.skater === s.skater && (r.technique === a || r.technique === b));
  return inEither ? [{ skater: s.skater, why: `no usable trial with ${lacking.join(" or ")}` }] : [];
}

/** 0.2 of the SD between skaters (of the mean of both techniques), unless the study says what is worth it. */
function smallestWorthwhile(
  means: readonly { readonly a: number; readonly b: number }[],
  said: number | null,
): OrWhy<{ value: number; from: "said" | "0.2 SD" }> {
  if (said !== null) return { value: said, from: "said" };
  if (means.length < 2) {
    return {
      value: null,
      why: "0.2 of the spread between skaters needs two skaters. Or say in Plan what difference would be worth it.",
    };
  }
  return { value: 0.2 * standardDeviation(means.map((m) => (m.a + m.b) / 2)), from: "0.2 SD" };
}
