import { fitMixedModel, type MixedGroup } from "../compare/mixedModel.ts";
import type { OrWhy } from "../reading.ts";
import { t975 } from "../statistics/distributions.ts";
import { mean, standardDeviation } from "../statistics/mean.ts";
import { predictiveHalf } from "./predictive.ts";

/** One skater's difference on one evening, b minus a. */
export interface SkaterDifference {
  readonly study: string;
  /** The same word on several evenings is the same skater. */
  readonly skater: string;
  readonly difference: number;
}

export interface Pooled {
  readonly value: number;
  readonly standardError: number;
  readonly ci95: readonly [low: number, high: number];
  /** Studies minus one. */
  readonly df: number;
  readonly sdBetweenStudies: number;
  /** Of skaters' differences within an evening: skaters unlike each other, and their own repeats. */
  readonly sdBetweenSkaters: number;
  /** What a skater never seen would show on an evening never seen. */
  readonly newSkater: OrWhy<{ readonly value: number; readonly interval95: readonly [number, number] }>;
  /** What the mean of very many skaters would be on an evening never seen. */
  readonly newStudy: OrWhy<{ readonly value: number; readonly interval95: readonly [number, number] }>;
  readonly method: string;
}

/** Where the search may start: SDs in residual SDs. */
const STARTS = [0, 0.1, 0.2, 0.4, 0.7, 1, 1.5, 2.5, 5, 12];

/**
 * Several evenings' skaters as one answer: difference = mean + evening + skater + rest, by restricted maximum likelihood.
 * A skater seen on one evening only is not told apart from the rest; where nobody came twice there is no term of skaters.
 *
 * The interval of the mean takes t with studies - 1 degrees of freedom, whatever the variances come out as: with few evenings
 * their SD is known badly, and often comes out as 0 where it is not (Follmann & Proschan 1999, Biometrics 55, 732 [memory]).
 * What a new evening or skater would show: `predictive.ts`.
 *
 * @returns the unit is the differences'
 */
export function poolDifferences(rows: readonly SkaterDifference[]): OrWhy<Pooled> {
  const studies = [...new Set(rows.map((r) => r.study))];
  const skaters = [...new Set(rows.map((r) => r.skater))];
  if (studies.length < 2) return no("Pooling needs two evenings or more with skaters in both techniques.");
  if (rows.length < studies.length + 1)
    return no(
      "Each evening has one skater with both techniques, so evenings and skaters can't be told apart.",
    );
  const repeated = skaters.length < rows.length;
  const fit = repeated ? crossed(rows, studies, skaters) : nested(rows, studies);
  if (!fit) return no("The skaters' differences are all exactly alike, so there is nothing to judge by.");
  const value = fit.beta[0]!;
  const variance = fit.covariance[0]![0]!;
  const [study, skater = 0] = fit.theta.map((t) => (t * fit.sigma) ** 2) as [number, number?];
  const within = skater + fit.sigma ** 2;
  const standardError = Math.sqrt(variance);
  const df = studies.length - 1;
  const half = t975(df) * standardError;
  const sizes = studies.map((s) => rows.filter((r) => r.study === s).length);
  const spread = { study, within, sizes };
  const about = (half: number) => ({ value, interval95: [value - half, value + half] as const });
  return {
    value,
    standardError,
    ci95: [value - half, value + half],
    df,
    sdBetweenStudies: Math.sqrt(study),
    sdBetweenSkaters: Math.sqrt(within),
    newSkater: about(predictiveHalf(spread, true)),
    newStudy:
      studies.length < 3
        ? no("How much evenings differ is told by three or more.")
        : about(predictiveHalf(spread, false)),
    method: `REML, random evening${repeated ? " and skater" : ""}; t with evenings - 1 = ${df} degrees of freedom`,
  };
}

function no(why: string): { value: null; why: string } {
  return { value: null, why };
}

/** Nobody came twice: evenings are independent of each other. */
function nested(rows: readonly SkaterDifference[], studies: readonly string[]) {
  const groups = studies.map((study): MixedGroup => {
    const own = rows.filter((r) => r.study === study);
    return { y: own.map((r) => r.difference), x: own.map(() => [1]), z: own.map(() => [1]) };
  });
  return fitMixedModel(groups, (theta) => [[theta[0]!]], [STARTS]);
}

/** Somebody came twice: all evenings hang together. */
function crossed(rows: readonly SkaterDifference[], studies: readonly string[], skaters: readonly string[]) {
  const columns = studies.length + skaters.length;
  const z = rows.map((r) => {
    const row = new Array<number>(columns).fill(0);
    row[studies.indexOf(r.study)] = 1;
    row[studies.length + skaters.indexOf(r.skater)] = 1;
    return row;
  });
  const group: MixedGroup = { y: rows.map((r) => r.difference), x: rows.map(() => [1]), z };
  const factor = (theta: readonly number[], q: number) =>
    Array.from({ length: q }, (_, i) =>
      Array.from({ length: q }, (_, j) => (i !== j ? 0 : i < studies.length ? theta[0]! : theta[1]!)),
    );
  return fitMixedModel([group], factor, [STARTS, STARTS]);
}

/** The same without each evening in turn; none with fewer than three. */
export function leaveOneOut(
  rows: readonly SkaterDifference[],
): { readonly without: string; readonly pooled: OrWhy<Pooled> }[] {
  const studies = [...new Set(rows.map((r) => r.study))];
  if (studies.length < 3) return [];
  return studies.map((without) => ({
    without,
    pooled: poolDifferences(rows.filter((r) => r.study !== without)),
  }));
}

/** One evening by itself: n, mean and its t interval over skaters. */
export function eveningMean(
  rows: readonly SkaterDifference[],
): OrWhy<{ readonly value: number; readonly u95: number }> {
  const all = rows.map((r) => r.difference);
  if (all.length === 0) return no("Nobody skated both techniques.");
  if (all.length === 1) return no("One skater gives no interval.");
  return { value: mean(all), u95: (t975(all.length - 1) * standardDeviation(all)) / Math.sqrt(all.length) };
}
