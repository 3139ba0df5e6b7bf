import type { TrialMean } from "../../kinematics/types.ts";
import { entryOf, type TrialQuantity } from "../../quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import type { TimedTrial } from "../../study/timed.ts";
import { placesOfTimes, shownTime } from "../../trials/shownTime.ts";
import { type Sides, sidesOf } from "../../trials/skaterSides.ts";
import { type ReadingOf, trialAsAsked } from "../../trials/techniqueCheck.ts";
import { formatNumber, formatReading, placesFor } from "../../uncertainty/format.ts";
import { html, type Markup, right, tableOf } from "./markup.ts";
import { type Measure, type SkaterColumn, skaterMeans } from "./skaterMeans.ts";

const SHOWN: readonly Measure[] = (
  [
    "stride_width_m",
    "blade_separation_m",
    "recovery_to_midline_m",
    "touchdown_to_midline_m",
    "touchdown_to_track_midline_m",
    "stride_rate_hz",
    "stride_length_m",
    "recovery_time_s",
  ] as const satisfies readonly TrialQuantity[]
).map((q) => ({ ...QUANTITY_WORDS[q], sides: entryOf(q).kind === "position", mean: (of) => of.trial[q] }));

/** Measured from the midline towards the blade's own side. */
const SIDED: ReadonlySet<string> = new Set(
  (["recovery_to_midline_m", "touchdown_to_midline_m", "touchdown_to_track_midline_m"] as const).map(
    (q) => QUANTITY_WORDS[q].name,
  ),
);

/** Few studies mark arms, so these have a row only where somebody did. */
const ARMS: readonly Measure[] = (["left", "right"] as const).flatMap((side) => [
  { name: `${side} arm-swing direction`, unit: "°", mean: (of) => of.arms.directionDeg[side] },
  { name: `${side} arm-swing angle`, unit: "°", mean: (of) => of.arms.angleDeg[side] },
]);

/** More columns of numbers do not fit the paper's width. */
const MOST_COLUMNS = 6;

/** What has a left and a right: all that is shown but stride rate, which lies between the two. */
const BOTH_SIDES = [
  "stride_width_m",
  "blade_separation_m",
  "recovery_to_midline_m",
  "touchdown_to_midline_m",
  "touchdown_to_track_midline_m",
  "stride_length_m",
  "recovery_time_s",
  "arm_swing_direction_deg",
  "arm_swing_angle_deg",
] as const satisfies readonly TrialQuantity[];

interface SkaterNumbers {
  readonly tables: readonly Markup[];
  /** Left and right of each technique beside each other; null where no trial has both of anything. */
  readonly sides: Markup | null;
  readonly missing: readonly string[];
  readonly some: boolean;
  /** What stands in the rows of `SIDED`. */
  readonly signed: readonly string[];
}

/** A skater's trials as tables, and why what is missing is missing, a sentence each. */
export function skaterNumbers(columns: readonly SkaterColumn[], readingOf: ReadingOf): SkaterNumbers {
  const had = ({ trial }: SkaterColumn, of: Measure): TrialMean => {
    if (trial.clip === undefined)
      return { value: null, why: "No clip is linked, so nothing can be measured on it." };
    const reading = readingOf(trial.id);
    return reading.ok ? of.mean(reading.value) : { value: null, why: reading.error.coach };
  };
  const some = SHOWN.some((q) => columns.some((c) => "mean" in had(c, q)));
  const arms = ARMS.filter((q) => columns.some((c) => "mean" in had(c, q)));
  const shown = some ? [...SHOWN, ...arms] : [];
  const places = placesOfTimes(columns.map((c) => c.trial));
  const judged = columns.some(({ trial }) => trial.clip !== undefined);
  const table = (part: readonly SkaterColumn[]) =>
    tableOf(
      some ? "Each trial: means over its strides ± half-width of the 95 % interval" : "Each trial",
      ["", ...part.map(({ trial, name }) => right(`${name}, ${trial.repeat}`))],
      [
        ["time, s", ...part.map(({ trial }) => timeOf(trial, places))],
        ...(judged ? [["as asked", ...part.map((c) => askedOf(c, readingOf))]] : []),
        ...shown.map((q) => [`${q.name}, ${q.unit}`, ...part.map((c) => withSides(had(c, q), q.sides))]),
      ],
      true,
    );
  const signed = shown.filter((q) => SIDED.has(q.name)).flatMap((q) => columns.map((c) => cell(had(c, q))));
  const sides = sidesOfTechniques(columns, readingOf);
  if (columns.length > MOST_COLUMNS) {
    const cells = {
      timeOf: (c: SkaterColumn, n: number) => timeOf(c.trial, n),
      askedOf: (c: SkaterColumn) => askedOf(c, readingOf),
      had,
    };
    const lacking = some && columns.some((c) => shown.some((q) => "why" in had(c, q)));
    const missing = lacking
      ? ["Why a trial lacks a measure stands at the end, under what could not be had."]
      : [];
    return { tables: [skaterMeans(columns, shown, cells)], sides, missing, some, signed };
  }
  return { tables: [table(columns)], sides, missing: reasons(columns, shown, had), some, signed };
}

function sidesOfTechniques(columns: readonly SkaterColumn[], readingOf: ReadingOf): Markup | null {
  const techniques = [...new Set(columns.map((c) => c.name))].map((name) => ({
    name,
    trials: columns.filter((c) => c.name === name && c.trial.valid).map(({ trial }) => trial.id),
  }));
  const rows = BOTH_SIDES.flatMap((quantity) => {
    const found = techniques.map(({ trials }) => sidesOf(trials, quantity, readingOf).value);
    if (found.every((sides) => sides === null)) return [];
    const { name, unit } = QUANTITY_WORDS[quantity];
    return [[`${name}, ${unit}`, ...found.flatMap(sideCells)]];
  });
  if (rows.length === 0) return null;
  return tableOf(
    "Left and right: means of the trials that have both, and left minus right, in bold where it is more than its ±",
    [
      "",
      ...techniques.flatMap(({ name }) => [
        right(`${name}: left`),
        right("right"),
        right("left minus right"),
      ]),
    ],
    rows,
    true,
  );
}

function sideCells(sides: Sides | null): (string | Markup)[] {
  if (sides === null) return ["–", "–", "–"];
  const { left, right: other, leftMinusRight } = sides;
  const apart = formatReading(leftMinusRight, "");
  return [
    formatReading(left, ""),
    formatReading(other, ""),
    Math.abs(leftMinusRight.value) > leftMinusRight.u95 ? html`<strong>${apart}</strong>` : apart,
  ];
}

/** Each reason once, with the trials and measures it holds for. */
function reasons(
  columns: readonly SkaterColumn[],
  shown: readonly Measure[],
  had: (column: SkaterColumn, of: Measure) => TrialMean,
): string[] {
  const asked = shown.length === 0 ? SHOWN : shown;
  const byWhy = new Map<string, string[]>();
  for (const column of columns) {
    const own = new Map<string, string[]>();
    for (const q of asked) {
      const mean = had(column, q);
      if ("why" in mean) own.set(mean.why, [...(own.get(mean.why) ?? []), q.name]);
    }
    for (const [why, names] of own) {
      const label = `${column.name}, ${column.trial.repeat}`;
      const where = names.length === asked.length ? label : `${label}: ${names.join(", ")}`;
      byWhy.set(why, [...(byWhy.get(why) ?? []), where]);
    }
  }
  return [...byWhy].map(([why, where]) => `${where.join("; ")}. ${sentence(why)}`);
}

/** Some reasons are notes of a few words. */
function sentence(why: string): string {
  const text = why.charAt(0).toUpperCase() + why.slice(1);
  return /[.!?]$/.test(text) ? text : `${text}.`;
}

function cell(mean: TrialMean): string {
  return "mean" in mean ? formatReading({ value: mean.mean, u95: mean.u95 }, "") : "–";
}

/** The mean and under it both sides, to its own digits. */
function withSides(mean: TrialMean, sides = false): string | Markup {
  const text = cell(mean);
  if (!sides || !("mean" in mean) || "why" in mean.left || "why" in mean.right) return text;
  const places = placesFor(mean.u95);
  const [left, other] = [mean.left.mean, mean.right.mean].map((v) => formatNumber(v, places));
  return html`${text.replaceAll(" ", "\u00a0")}<small>left ${left}, right ${other}</small>`;
}

function askedOf({ trial, technique }: SkaterColumn, readingOf: ReadingOf): string {
  return trial.clip === undefined ? "–" : trialAsAsked(trial, technique, readingOf).answer;
}

function timeOf(trial: TimedTrial, places: number): string {
  const time = shownTime(trial, places);
  return trial.valid ? time : `${time} (void)`;
}
