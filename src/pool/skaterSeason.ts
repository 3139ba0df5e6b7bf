import { fitMixedModel } from "../compare/mixedModel.ts";
import type { Comparison } from "../compare/types.ts";
import { typicalError } from "../compare/typicalError.ts";
import { MeasureError } from "../errors.ts";
import { COMPARE_QUANTITIES, type CompareQuantity, QUANTITY_WORDS } from "../quantities/compared.ts";
import type { OrWhy } from "../reading.ts";
import { t975 } from "../statistics/distributions.ts";
import { mean } from "../statistics/mean.ts";
import type { Study, Trial } from "../study/types.ts";

/** What a trial gives of a quantity, and of each side where it has sides. */
export interface TrialValue {
  readonly value: number;
  readonly left: number | null;
  readonly right: number | null;
}

export interface SkaterEvening {
  readonly name: string;
  readonly date: string | null;
  readonly study: Study;
  readonly ofTrial: (trial: Trial, quantity: CompareQuantity) => TrialValue | null;
}

export interface EveningValue {
  readonly study: string;
  readonly date: string | null;
  readonly n: number;
  readonly mean: number;
  /** Of the mean, from how well the skater's trials repeat; null where nothing tells. */
  readonly u95: number | null;
  readonly values: readonly number[];
  /** Means over the trials that have both sides; null without. */
  readonly left: number | null;
  readonly right: number | null;
}

export interface Trend {
  /** Change in 30 days, in the quantity's unit. */
  readonly value: number;
  readonly u95: number;
  readonly df: number;
  /** The interval leaves out no change at all. */
  readonly clear: boolean;
}

export interface SkaterQuantity {
  readonly quantity: CompareQuantity;
  readonly technique: string;
  readonly evenings: readonly EveningValue[];
  /** SD of repeats within an evening, over all of them. */
  readonly typicalError: Comparison["typicalError"];
  readonly trend: OrWhy<Trend>;
  /** Last evening minus first, from this skater's own repeats: what evenings add is not in its interval. */
  readonly since: OrWhy<{ readonly value: number; readonly u95: number }>;
  /** The fastest evening; null where more is not better or worse. */
  readonly best: EveningValue | null;
}

const PER_DAYS = 30;
/** Where the search may start: SD between evenings in SDs of a trial. */
const STARTS = [0, 0.1, 0.2, 0.4, 0.7, 1, 1.5, 2.5, 5, 12];

const no = (why: string) => ({ value: null, why }) as const;

/** There is no such skater in any of the evenings. */
export function nobody(code: string): MeasureError {
  return new MeasureError(
    "no-skater",
    `skater: nobody with code ${code} has a trial`,
    `None of these studies has a trial of a skater with the code "${code}". Codes stand in Plan.`,
  );
}

/** Evenings by date, those without one as they were given and last. */
export function inOrder<E extends { readonly date: string | null }>(evenings: readonly E[]): E[] {
  return [...evenings].sort((a, b) => (a.date ?? "9999").localeCompare(b.date ?? "9999"));
}

/**
 * One skater through a season: every quantity with every technique (by name), evening by evening, her own repeats averaged.
 *
 * @param code the skater's code, or the name of one who has none
 */
export function skaterSeason(evenings: readonly SkaterEvening[], code: string): SkaterQuantity[] {
  const own = inOrder(evenings).flatMap((evening) => {
    const skater = evening.study.skaters.find((s) => (s.code || s.name) === code);
    return skater ? [{ ...evening, skater: skater.id }] : [];
  });
  const techniques = [...new Set(own.flatMap((e) => e.study.techniques.map((t) => t.name || t.id)))];
  return COMPARE_QUANTITIES.flatMap((quantity) =>
    techniques.flatMap((technique): SkaterQuantity[] => {
      const cells = own.flatMap(({ name, date, study, skater, ofTrial }) => {
        const id = study.techniques.find((t) => (t.name || t.id) === technique)?.id;
        const values = study.trials
          .filter((t) => t.valid && t.skater === skater && t.technique === id)
          .flatMap((t) => ofTrial(t, quantity) ?? []);
        return values.length === 0 ? [] : [{ study: name, date, values }];
      });
      return cells.length === 0 ? [] : [through(quantity, technique, cells)];
    }),
  );
}

interface Cell {
  readonly study: string;
  readonly date: string | null;
  readonly values: readonly TrialValue[];
}

function through(quantity: CompareQuantity, technique: string, cells: readonly Cell[]): SkaterQuantity {
  const error = typicalError(cells.map((c) => c.values.map((v) => v.value)));
  const u95 = (parts: number) =>
    error.value === null || error.value === 0 ? null : t975(error.df) * error.value * Math.sqrt(parts);
  const evenings = cells.map(({ study, date, values }): EveningValue => {
    const both = values.filter((v) => v.left !== null && v.right !== null);
    const side = (of: "left" | "right") =>
      both.length === 0 ? null : mean(both.map((v) => v[of] as number));
    const all = values.map((v) => v.value);
    return {
      ...{ study, date, n: all.length, mean: mean(all), u95: u95(1 / all.length), values: all },
      ...{ left: side("left"), right: side("right") },
    };
  });
  const [first, last] = [evenings[0]!, evenings.at(-1)!];
  const since =
    evenings.length < 2
      ? no("One evening only.")
      : error.value === null
        ? no("No evening has two trials of it, so nobody knows how much one trial scatters.")
        : error.value === 0
          ? no("The trials of an evening are all exactly alike, so nobody knows how much one trial scatters.")
          : {
              value: last.mean - first.mean,
              u95: u95(1 / first.n + 1 / last.n) as number,
            };
  const best =
    quantity === "time_s" ? evenings.reduce((x, y) => (y.mean < x.mean ? y : x), evenings[0]!) : null;
  return { quantity, technique, evenings, typicalError: error, trend: trend(cells), since, best };
}

/**
 * Change through the season: value = level + slope x date + evening + trial, by REML. An evening's own ups and downs are shared
 * by its trials, so the slope is known from evenings: t with evenings - 2 degrees of freedom (containment), whatever the variance
 * between them comes out as.
 *
 * @see Pinheiro & Bates (2000), Mixed-Effects Models in S and S-PLUS, section 2.4.2
 */
export function trend(cells: readonly Cell[]): OrWhy<Trend> {
  const known = cells.map((c) => dayNumber(c.date));
  const days = known.filter((day) => day !== null);
  if (days.length < cells.length) return no("An evening has no date. Say it in Plan.");
  const df = new Set(days).size - 2;
  if (df < 1) return no("A change through the season needs three evenings.");
  const start = mean(days);
  const groups = [...new Set(days)].map((day) => {
    const y = cells.flatMap((c, i) => (days[i] === day ? c.values.map((v) => v.value) : []));
    return { y, x: y.map(() => [1, (day - start) / PER_DAYS]), z: y.map(() => [1]) };
  });
  const fit = fitMixedModel(groups, (theta) => [[theta[0]!]], [STARTS]);
  if (!fit) return no("The trials are all exactly alike, so there is nothing to judge a change by.");
  const value = fit.beta[1]!;
  const u95 = t975(df) * Math.sqrt(fit.covariance[1]![1]!);
  return { value, u95, df, clear: Math.abs(value) > u95 };
}

/**
 * Number of a day "YYYY-MM-DD", Gregorian, one more each day; null for what is no such text.
 *
 * @see Fliegel & Van Flandern (1968), Communications of the ACM 11(10), 657 [memory; tested against Date]
 */
export function dayNumber(date: string | null): number | null {
  const parts = /^(\d{4})-(\d\d)-(\d\d)$/.exec(date ?? "");
  if (!parts) return null;
  const [year, month, day] = parts.slice(1).map(Number) as [number, number, number];
  const early = Math.trunc((month - 14) / 12);
  return (
    day -
    32_075 +
    Math.trunc((1461 * (year + 4800 + early)) / 4) +
    Math.trunc((367 * (month - 2 - 12 * early)) / 12) -
    Math.trunc((3 * Math.trunc((year + 4900 + early) / 100)) / 4)
  );
}

/** "Can't tell whether it changed: …" */
export function trendWords(
  { quantity, trend: t }: Pick<SkaterQuantity, "quantity" | "trend">,
  sized: (value: number, u95: number) => string,
): string {
  if (t.value === null) return `Can't tell whether it changed. ${t.why}`;
  const { less, more } = QUANTITY_WORDS[quantity];
  const size = `${sized(t.value, t.u95)} in ${PER_DAYS} days`;
  return t.clear
    ? `${t.value < 0 ? less : more}: ${size}.`
    : `Can't tell whether it changed: ${size}; no change at all would fit as well.`;
}

/** The same in a word for a table. */
export function changeWords({ quantity, trend: t }: Pick<SkaterQuantity, "quantity" | "trend">): string {
  if (t.value === null || !t.clear) return "can't tell";
  return t.value < 0 ? QUANTITY_WORDS[quantity].less : QUANTITY_WORDS[quantity].more;
}
