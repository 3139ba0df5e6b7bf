import { fitMixedModel, type MixedFit, type MixedGroup } from "../compare/mixedModel.ts";
import type { OrWhy } from "../reading.ts";
import { t975 } from "../statistics/distributions.ts";
import { mean, standardDeviation, withoutRounding } from "../statistics/mean.ts";
import { crossedModel } from "./crossedFit.ts";
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
  /** Studies, or skaters where those are fewer, minus one. */
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
 * The interval of the mean takes t with studies - 1 degrees of freedom, or skaters - 1 where those are fewer, whatever the variances
 * come out as: with few evenings (or few people who come again and again) their SD is known badly, and often comes out as 0 where
 * it is not (Follmann & Proschan 1999, Biometrics 55, 732 [memory]; by simulation: tests/pool/nullSeasons.ts).
 * What a new evening or skater would show: `predictive.ts`.
 *
 * @returns the unit is the differences'
 */
export function poolDifferences(rows: readonly SkaterDifference[]): OrWhy<Pooled> {
  const found = fitted(rows);
  if ("why" in found) return found;
  const { fit, sizes, repeated, levels } = found;
  const [study, skater = 0] = fit.theta.map((t) => (t * fit.sigma) ** 2) as [number, number?];
  const within = skater + fit.sigma ** 2;
  const mean = meanOf(fit, levels);
  const spread = { study, within, sizes };
  const about = (half: number) => ({
    value: mean.value,
    interval95: [mean.value - half, mean.value + half] as const,
  });
  return {
    ...mean,
    sdBetweenStudies: Math.sqrt(study),
    sdBetweenSkaters: Math.sqrt(within),
    newSkater: about(predictiveHalf(spread, true)),
    newStudy:
      sizes.length < 3
        ? no("How much evenings differ is told by three or more.")
        : about(predictiveHalf(spread, false)),
    method: `REML, random evening${repeated ? " and skater" : ""}; t with ${levels < sizes.length ? "skaters" : "evenings"} - 1 = ${mean.df} degrees of freedom`,
  };
}

/** The mean alone: what new evenings and skaters would show takes longer than all the rest. */
export function pooledMean(rows: readonly SkaterDifference[]): OrWhy<Pick<Pooled, "value" | "ci95">> {
  const found = fitted(rows);
  return "why" in found ? found : meanOf(found.fit, found.levels);
}

function meanOf(fit: MixedFit, levels: number) {
  const value = fit.beta[0]!;
  const standardError = Math.sqrt(fit.covariance[0]![0]!);
  const df = levels - 1;
  const half = t975(df) * standardError;
  return { value, standardError, df, ci95: [value - half, value + half] as const };
}

function fitted(rows: readonly SkaterDifference[]) {
  const byStudy = new Map<string, number[]>();
  for (const { study, difference } of rows) byStudy.set(study, [...(byStudy.get(study) ?? []), difference]);
  const sizes = [...byStudy.values()].map((own) => own.length);
  const skaters = new Set(rows.map((r) => r.skater)).size;
  const few = tooFew({ evenings: sizes.length, skaters, rows: rows.length });
  if (few) return few;
  const repeated = skaters < rows.length;
  const fit = repeated ? crossedModel(rows).fit([STARTS, STARTS]) : nested([...byStudy.values()]);
  if (!fit) return no(ALIKE);
  return { fit, sizes, repeated, levels: Math.min(sizes.length, skaters) };
}

const ALIKE = "The skaters' differences are all exactly alike, so there is nothing to judge by.";

function tooFew(had: { readonly evenings: number; readonly skaters: number; readonly rows: number }) {
  if (had.evenings < 2) return no("Pooling needs two evenings or more with skaters in both techniques.");
  if (had.rows < had.evenings + 1)
    return no(
      "Each evening has one skater with both techniques, so evenings and skaters can't be told apart.",
    );
  return had.skaters < 2 ? no("One skater alone says nothing of others. Pooling needs two.") : null;
}

function no(why: string): { value: null; why: string } {
  return { value: null, why };
}

/** Nobody came twice: evenings are independent of each other. */
function nested(evenings: readonly (readonly number[])[]) {
  const groups = evenings.map(
    (own): MixedGroup => ({ y: own, x: own.map(() => [1]), z: own.map(() => [1]) }),
  );
  return fitMixedModel(groups, (theta) => [[theta[0]!]], [STARTS]);
}

/** With more evenings than that one of them hardly moves the variances, and they are held. */
const MANY = 40;

interface WithoutOne {
  readonly without: string;
  readonly pooled: OrWhy<Pick<Pooled, "value" | "ci95">>;
}

/** The same without each evening in turn; none with fewer than three. */
export function leaveOneOut(rows: readonly SkaterDifference[]): WithoutOne[] {
  const studies = [...new Set(rows.map((r) => r.study))];
  if (studies.length < 3) return [];
  const all = studies.length > MANY ? fitted(rows) : null;
  if (all && "fit" in all) return withoutEach(rows, studies, all.fit.theta);
  return studies.map((without) => ({
    without,
    pooled: pooledMean(rows.filter((r) => r.study !== without)),
  }));
}

/** @param theta variances that are held */
function withoutEach(
  rows: readonly SkaterDifference[],
  studies: readonly string[],
  [study, skater]: readonly number[],
): WithoutOne[] {
  // Where nobody came twice a skater is part of the rest.
  const model = crossedModel(skater === undefined ? rows.map((r) => ({ ...r, skater: "" })) : rows);
  const evenings = studies.length - 1;
  const sizes = new Map<string, number>();
  const eveningsOf = new Map<string, Set<string>>();
  for (const row of rows) {
    sizes.set(row.study, (sizes.get(row.study) ?? 0) + 1);
    eveningsOf.set(row.skater, (eveningsOf.get(row.skater) ?? new Set()).add(row.study));
  }
  // Skaters who came on no other evening.
  const onlyIn = new Map<string, number>();
  for (const [evening, ...more] of eveningsOf.values())
    if (more.length === 0) onlyIn.set(evening!, (onlyIn.get(evening!) ?? 0) + 1);
  return studies.map((without) => {
    const skaters = eveningsOf.size - (onlyIn.get(without) ?? 0);
    const few = tooFew({ evenings, skaters, rows: rows.length - sizes.get(without)! });
    if (few) return { without, pooled: few };
    const fit = model.at([study!, skater ?? 0], without);
    return { without, pooled: fit ? meanOf(fit, Math.min(evenings, skaters)) : no(ALIKE) };
  });
}

/** One evening by itself: n, mean and its t interval over skaters. */
export function eveningMean(
  rows: readonly SkaterDifference[],
): OrWhy<{ readonly value: number; readonly u95: number }> {
  const all = rows.map((r) => r.difference);
  if (all.length === 0) return no("Nobody skated both techniques.");
  if (all.length === 1) return no("One skater gives no interval.");
  const sd = standardDeviation(all);
  // Of differences that are all alike in decimals binary rounding leaves a tiny SD.
  if (withoutRounding(sd, Math.max(...all.map(Math.abs))) === 0) return no(ALIKE);
  return { value: mean(all), u95: (t975(all.length - 1) * sd) / Math.sqrt(all.length) };
}
