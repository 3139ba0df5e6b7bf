import { comparedTechniques, compareStudy } from "../../compare/compareStudy.ts";
import { digits, sizeDigits } from "../../compare/digits.ts";
import type { Comparison } from "../../compare/types.ts";
import { shownError } from "../../compare/typicalError.ts";
import { COMPARE_QUANTITIES } from "../../quantities/compared.ts";
import type { OrWhy } from "../../reading.ts";
import type { Names } from "../../study/labels.ts";
import type { WholeStudy } from "../../study/types.ts";
import { type ReadingOf, techniqueCheck } from "../../trials/techniqueCheck.ts";
import { type Cell, type Column, number, type Table, text, whole } from "./table.ts";

interface Compared {
  readonly used: "all" | "as asked";
  readonly c: Comparison;
}

const COMPARED: readonly Column[] = [
  text("quantity", "what is compared", { required: true }),
  text("trials_used", "all valid trials, or only those that were not found to be otherwise than asked", {
    required: true,
    choices: ["all", "as asked"],
  }),
  text("a", "technique a", { required: true }),
  text("b", "technique b", { required: true }),
];

/** `differences` (one skater a row) and `comparisons` (one quantity a row), of the study's two techniques. */
export function comparisonTables({ study }: WholeStudy, names: Names, readingOf: ReadingOf): Table[] {
  const two = comparedTechniques(study);
  if (!two) return [];
  const wrong = new Set(
    techniqueCheck(study, two, names, readingOf)
      .trials.filter((t) => t.asked.answer === "no")
      .map((t) => t.trial.id),
  );
  const compared = COMPARE_QUANTITIES.flatMap((quantity): Compared[] => {
    const meanOf = (trial: string) => {
      const reading = readingOf(trial);
      if (!reading.ok || quantity === "time_s") return null;
      const mean = reading.value.trial[quantity];
      return "why" in mean ? null : mean.mean;
    };
    const asked = { quantity, meanOf, names };
    return [
      { used: "all", c: compareStudy(study, asked) },
      ...(wrong.size === 0
        ? []
        : [{ used: "as asked" as const, c: compareStudy(study, { ...asked, without: wrong }) }]),
    ];
  });
  return [differencesTable(compared), summaryTable(compared)];
}

function differencesTable(compared: readonly Compared[]): Table {
  return {
    name: "differences",
    title: "Each skater's means with both techniques and their difference, b minus a",
    key: ["quantity", "trials_used", "skater"],
    refersTo: [{ column: "skater", table: "skaters", key: "skater" }],
    columns: [
      ...COMPARED,
      text("skater", "key of `skaters`", { required: true }),
      number("a_mean", "mean with technique a, in the quantity's unit", ""),
      number("b_mean", "mean with technique b, in the quantity's unit", ""),
      number("difference", "b minus a", ""),
      number(
        "difference_u95",
        "half-width of its interval, from how this skater's trials scatter; wide enough that with 95 % it holds for all skaters at once",
        "",
      ),
      whole("n_a", "trials in a_mean"),
      whole("n_b", "trials in b_mean"),
      text("verdict", "beyond what is worth it"),
      text("why", "why this verdict"),
      text("settles", "what the interval says against the smallest difference worth having", {
        choices: ["worth it", "not worth it", "open"],
      }),
    ],
    rows: compared.flatMap(({ used, c }) =>
      c.pairs.map((p): Cell[] =>
        written([
          c.quantity,
          used,
          c.a,
          c.b,
          p.skater,
          p.a,
          p.b,
          sizeDigits(p.difference),
          p.u95.value,
          p.nA,
          p.nB,
          p.verdict,
          p.why,
          p.settles,
        ]),
      ),
    ),
  };
}

function written(cells: readonly Cell[]): Cell[] {
  return cells.map((cell) => (typeof cell === "number" ? digits(cell) : cell));
}

function modelCells(model: Comparison["model"]): Cell[] {
  if (model.value === null) return [null, null, null, null];
  return [sizeDigits(model.value), ...model.ci95.map(sizeDigits), model.p];
}

const ends = (name: string) => [
  number(`${name}_ci95_low`, "lower end of its 95 % interval", ""),
  number(`${name}_ci95_high`, "upper end of its 95 % interval", ""),
];

const ADDED: readonly Column[] = [
  text("conclusion", "what may be said, the strongest that the numbers carry", {
    choices: ["nobody", "one skater", "order", "depends", "settled", "alike", "these", "open"],
  }),
  text("order", "whether the order of trials can pass for a difference", {
    choices: ["balanced", "leaning", "one-sided"],
  }),
  number("steady_difference", "mean difference with one steady change from trial to trial taken out", ""),
  number("steady_u95", "half-width of its 95 % interval", ""),
  number("change_a_trial_u95", "half-width of the 95 % interval of change_a_trial", ""),
  ...ends("typical_error"),
  number("middle_low", "lower end of middle_difference's interval by ranks; blank with fewer than six", ""),
  number("middle_high", "upper end of it", ""),
  number("response_sd", "SD between skaters of the true difference", ""),
  ...ends("response"),
  number("response_p", "chance of differences this unlike if all responded alike", ""),
  number(
    "model_with_place_difference",
    "as model_difference, a steady change from trial to trial taken out",
    "",
  ),
  ...ends("model_with_place"),
  number("model_with_place_p", "two-sided p", ""),
  number("model_with_place_df", "degrees of freedom", ""),
  number("model_with_place_sd_skater", "SD between skaters", ""),
  number("model_with_place_sd_response", "SD of how differently skaters respond", ""),
  number("model_with_place_sd_trial", "SD between repeats", ""),
];

function addedCells(c: Comparison): Cell[] {
  const change = c.orderEffect.value === null || "why" in c.orderEffect.ci95 ? null : c.orderEffect.ci95;
  const error = shownError(c.typicalError);
  const middle =
    c.hodgesLehmann.value === null || c.hodgesLehmann.interval.value === null
      ? null
      : c.hodgesLehmann.interval.value;
  const { steady } = c.order;
  const model = c.modelWithPlace;
  return [
    c.conclusion,
    c.n === 0 ? null : c.order.kind,
    ...(steady.value === null ? [null, null] : [sizeDigits(steady.value), steady.u95]),
    change && (change[1] - change[0]) / 2,
    ...(error.value === null ? [null, null] : error.ci95),
    ...(middle ?? [null, null]),
    ...(c.response.value === null
      ? [null, null, null, null]
      : [c.response.value, ...c.response.ci95, c.response.p]),
    ...modelCells(model),
    ...(model.value === null
      ? [null, null, null, null]
      : [model.df, model.sdSkater, model.sdSkaterByTechnique, model.sdTrial]),
  ];
}

function summaryTable(compared: readonly Compared[]): Table {
  const value = (had: OrWhy<{ readonly value: number }>): Cell => had.value;
  const interval = (c: Comparison): Cell[] =>
    c.meanDifference.value === null || "why" in c.meanDifference.ci95
      ? [null, null]
      : c.meanDifference.ci95.map(sizeDigits);
  return {
    name: "comparisons",
    title:
      "Both techniques compared over skaters, b minus a; blank = too few skaters or repeats to compute it",
    key: ["quantity", "trials_used"],
    columns: [
      ...COMPARED,
      whole("n", "skaters", { required: true }),
      number("mean_difference", "b minus a, mean over skaters, in the quantity's unit", ""),
      number("ci95_low", "lower end of its 95 % t interval over skaters", ""),
      number("ci95_high", "upper end of its 95 % t interval over skaters", ""),
      number("sd_of_differences", "SD of the skaters' differences", ""),
      number("t", "mean difference in its own standard errors", ""),
      whole("df", "degrees of freedom of t"),
      number("p_t", "two-sided p of t", ""),
      number("p_sign_flip", "exact two-sided p of all sign flips", ""),
      number("smallest_possible_p_sign_flip", "the smallest this many skaters could give", ""),
      number("p_signed_rank", "exact two-sided p of the signed rank", ""),
      number("middle_difference", "median of all means of two differences (Hodges-Lehmann)", ""),
      number("d_z", "mean difference in SDs of the differences", ""),
      number("g_z", "effect size with small-sample correction", ""),
      number("p_alike", "larger p of the two one-sided tests against smallest_worthwhile", ""),
      number("model_difference", "b minus a in the mixed model on every trial", ""),
      number("model_ci95_low", "lower end of its 95 % interval", ""),
      number("model_ci95_high", "upper end of its 95 % interval", ""),
      number("model_p", "two-sided p in the mixed model", ""),
      number("change_a_trial", "from one of a skater's own trials to the next", ""),
      number("typical_error", "SD of repeats of one skater and one technique", ""),
      number("mdc95_single", "smallest change of one trial beyond its scatter (95 %)", ""),
      number("smallest_worthwhile", "smallest difference worth having", ""),
      number("these_u95", "half-width of the mean's 95 % interval for these skaters, from their repeats", ""),
      number(
        "general_u95",
        "half-width for skaters in general: the t interval, never narrower than repeats allow",
        "",
      ),
      ...(["d_z", "g_z"] as const).flatMap((name) => [
        number(`${name}_ci95_low`, `lower end of the 95 % interval of ${name}`, ""),
        number(`${name}_ci95_high`, `upper end of the 95 % interval of ${name}`, ""),
      ]),
      number("typical_error_df", "degrees of freedom of typical_error", ""),
      number("b_later_by", "places b was skated later than a, mean over skaters", ""),
      number("model_df", "degrees of freedom of the mixed model's difference", ""),
      number("model_sd_skater", "SD between skaters in the mixed model", ""),
      number("model_sd_response", "SD of how differently skaters respond; blank without repeats", ""),
      number("model_sd_trial", "SD between repeats in the mixed model", ""),
      ...ADDED,
    ],
    rows: compared.map(({ used, c }): Cell[] =>
      written([
        c.quantity,
        used,
        c.a,
        c.b,
        c.n,
        c.meanDifference.value === null ? null : sizeDigits(c.meanDifference.value),
        ...interval(c),
        value(c.sd),
        value(c.t),
        value(c.df),
        value(c.pT),
        value(c.pSignFlip),
        value(c.smallestPSignFlip),
        c.signedRank.value === null ? null : c.signedRank.p,
        c.hodgesLehmann.value,
        c.dZ.value,
        c.gZ.value,
        c.equivalence.value,
        ...modelCells(c.model),
        c.orderEffect.value === null ? null : sizeDigits(c.orderEffect.value),
        value(shownError(c.typicalError)),
        value(c.mdc95Single),
        c.smallestWorthwhile.value,
        ...[c.these, c.general].map((had) => (had.value === null ? null : had.u95)),
        ...[c.dZ, c.gZ].flatMap((e): Cell[] =>
          e.value === null || "why" in e.ci95 ? [null, null] : [...e.ci95],
        ),
        c.typicalError.value === null ? null : c.typicalError.df,
        value(c.bLaterBy),
        ...(c.model.value === null
          ? [null, null, null, null]
          : [c.model.df, c.model.sdSkater, c.model.sdSkaterByTechnique, c.model.sdTrial]),
        ...addedCells(c),
      ]),
    ),
  };
}
