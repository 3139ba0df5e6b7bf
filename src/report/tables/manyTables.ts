import { timeValue } from "../../compare/compareStudy.ts";
import { manyTechniques } from "../../compare/manyTechniques.ts";
import type { Interval } from "../../compare/reliability.ts";
import { trialReliability } from "../../compare/trialReliability.ts";
import type { CompareRow } from "../../compare/types.ts";
import { COMPARE_QUANTITIES, type CompareQuantity } from "../../quantities/compared.ts";
import { type Names, skaterLabels, techniqueLabels } from "../../study/labels.ts";
import type { TimedStudy, TimedWhole } from "../../study/timed.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import { type Cell, number, type Table, text, whole } from "./table.ts";

/** `repeatability` of each technique's trials; of three or more techniques also `technique_pairs` and `overall_tests`. Valid trials. */
export function manyTables({ study }: TimedWhole, names: Names, readingOf: ReadingOf): Table[] {
  const labels = techniqueLabels(study);
  const techniques = study.techniques.map((t) => labels.get(t.id) ?? t.id);
  const asked = COMPARE_QUANTITIES.map((quantity) => ({
    quantity,
    rows: rowsOf(study, quantity, names, readingOf),
  }));
  const repeatability = repeatabilityTable(asked, techniques);
  if (techniques.length < 3) return [repeatability];
  const many = asked.map(({ quantity, rows }) => ({
    quantity,
    found: manyTechniques(rows, techniques, study.lane.gateBeam),
  }));
  return [repeatability, pairsTable(many), overallTable(many)];
}

function rowsOf(
  study: TimedStudy,
  quantity: CompareQuantity,
  names: Names,
  readingOf: ReadingOf,
): CompareRow[] {
  const [skaters, techniques] = [skaterLabels(study, names), techniqueLabels(study)];
  const meanOf = (trial: string) => {
    const reading = readingOf(trial);
    if (!reading.ok || quantity === "time_s") return null;
    const mean = reading.value.trial[quantity];
    return "why" in mean ? null : mean.mean;
  };
  return study.trials
    .filter((t) => t.valid)
    .map((t) => ({
      skater: skaters.get(t.skater) ?? t.skater,
      technique: techniques.get(t.technique) ?? t.technique,
      order: t.order,
      ...(quantity === "time_s" ? timeValue(t) : { value: meanOf(t.id) }),
      valid: true,
    }));
}

type Asked = readonly { readonly quantity: CompareQuantity; readonly rows: readonly CompareRow[] }[];
type Many = readonly {
  readonly quantity: CompareQuantity;
  readonly found: ReturnType<typeof manyTechniques>;
}[];

const QUANTITY = text("quantity", "what is compared, a column of `trials`", { required: true });
const WHY = text("why", "why it could not be computed");
const ICCS = ["icc_1_1", "icc_2_1", "icc_3_1"] as const;

function repeatabilityTable(asked: Asked, techniques: readonly string[]): Table {
  return {
    name: "repeatability",
    title:
      "How well trials of one technique repeat: skaters by their 1st, 2nd … trial, as many as leave the most values",
    key: ["quantity", "technique"],
    columns: [
      QUANTITY,
      text("technique", "as in `techniques`", { required: true }),
      whole("skaters", "skaters with that many trials"),
      whole("trials", "trials of each"),
      number("typical_error", "SD of one trial, changes common to all taken out, in the quantity's unit", ""),
      number("typical_error_ci95_low", "lower end of its 95 % interval", ""),
      number("typical_error_ci95_high", "upper end of its 95 % interval", ""),
      number("mdc95", "smallest change of one trial beyond its scatter (95 %)", ""),
      number("cv_percent", "typical error as a share, from logarithms", "%"),
      ...ICCS.flatMap((icc) => [
        number(icc, "Shrout and Fleiss's coefficient of one trial", ""),
        number(`${icc}_ci95_low`, "lower end of its 95 % interval", ""),
        number(`${icc}_ci95_high`, "upper end of its 95 % interval", ""),
      ]),
      number("bias", "first minus second trial, mean; of two trials only", ""),
      number("limits_low", "first minus second trial, lower 95 % limit of agreement", ""),
      number("limits_high", "first minus second trial, upper 95 % limit of agreement", ""),
      WHY,
    ],
    rows: asked.flatMap(({ quantity, rows }) =>
      techniques.map((technique): Cell[] => {
        const { found } = trialReliability(rows, technique);
        const start = [quantity, technique];
        if (found.value === null) return [...start, ...Array<Cell>(19).fill(null), found.why];
        const { n, k, typicalError, mdc95, cvPercent, icc, limits } = found.value;
        if (typicalError.value === null)
          return [...start, n, k, ...Array<Cell>(17).fill(null), typicalError.why];
        const ends = ({ value, ci95 }: Interval) => [value, ...ci95];
        const coefficients =
          icc.value === null
            ? Array<Cell>(9).fill(null)
            : [icc.value.oneWay, icc.value.agreement, icc.value.consistency].flatMap(ends);
        const gap =
          limits.value === null
            ? [null, null, null]
            : [limits.value.bias.value, limits.value.low.value, limits.value.high.value];
        return [
          ...[...start, n, k, ...ends(typicalError), mdc95.value, cvPercent.value],
          ...coefficients,
          ...gap,
          icc.value === null ? icc.why : null,
        ];
      }),
    ),
  };
}

function pairsTable(many: Many): Table {
  return {
    name: "technique_pairs",
    title:
      "Every pair of techniques over the skaters who have both, b minus a; Holm's adjustment for looking at all pairs",
    key: ["quantity", "a", "b"],
    columns: [
      QUANTITY,
      text("a", "technique a", { required: true }),
      text("b", "technique b", { required: true }),
      whole("n", "skaters with both", { required: true }),
      number("difference", "b minus a, mean over skaters, in the quantity's unit", ""),
      number("ci95_low", "lower end of its 95 % interval, never narrower than repeats allow", ""),
      number("ci95_high", "upper end of its 95 % interval", ""),
      number("p", "two-sided: the larger of what skaters and what repeats say", ""),
      number("p_holm", "adjusted for all pairs", ""),
    ],
    rows: many.flatMap(({ quantity, found }) =>
      found.pairs.map(({ a, b, n, difference, p, pHolm }): Cell[] => {
        const ends =
          difference.value === null || "why" in difference.ci95 ? [null, null] : [...difference.ci95];
        return [quantity, a, b, n, difference.value, ...ends, p.value, pHolm.value];
      }),
    ),
  };
}

function overallTable(many: Many): Table {
  return {
    name: "overall_tests",
    title:
      "Whether the techniques differ at all: repeated measures over the skaters who have every one of them",
    key: ["quantity"],
    columns: [
      QUANTITY,
      whole("n", "skaters with every technique"),
      number("f", "F of techniques against skater by technique", ""),
      whole("df1", "degrees of freedom of techniques"),
      whole("df2", "degrees of freedom of skater by technique"),
      number("epsilon", "Greenhouse and Geisser's correction; 1 = none needed", ""),
      number("p", "without it", ""),
      number("p_corrected", "with it", ""),
      WHY,
    ],
    rows: many.map(({ quantity, found: { overall } }): Cell[] =>
      overall.value === null
        ? [quantity, ...Array<Cell>(7).fill(null), overall.why]
        : [
            ...[quantity, overall.n, overall.value, ...overall.df],
            ...[overall.epsilon, overall.p, overall.pCorrected, null],
          ],
    ),
  };
}
