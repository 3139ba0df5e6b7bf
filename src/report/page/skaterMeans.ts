import type { TrialMean, TrialReadings } from "../../kinematics/types.ts";
import { mean } from "../../statistics/mean.ts";
import type { TimedTrial } from "../../study/timed.ts";
import type { Technique } from "../../study/types.ts";
import { placesOfTimes } from "../../trials/shownTime.ts";
import { formatReading } from "../../uncertainty/format.ts";
import { type Markup, right, tableOf } from "./markup.ts";

/** One trial of a skater: a column. */
export interface SkaterColumn {
  readonly trial: TimedTrial;
  readonly technique: Technique;
  /** What the technique is called. */
  readonly name: string;
}

export interface Measure {
  readonly name: string;
  /** Whether both sides stand under the mean. */
  readonly sides?: boolean;
  readonly unit: string;
  mean(of: TrialReadings): TrialMean;
}

/** What is asked of a trial by the table. */
export interface SkaterCells {
  timeOf(column: SkaterColumn, places: number): string;
  askedOf(column: SkaterColumn): string;
  had(column: SkaterColumn, of: Measure): TrialMean;
}

/** A skater with more trials than fit beside each other: a column a technique, its times one by one, its measures as means. */
export function skaterMeans(
  columns: readonly SkaterColumn[],
  shown: readonly Measure[],
  { timeOf, askedOf, had }: SkaterCells,
): Markup {
  const techniques = [...new Set(columns.map((c) => c.technique))].map((technique) =>
    columns.filter((c) => c.technique === technique),
  );
  const places = placesOfTimes(columns.map((c) => c.trial));
  const judged = columns.some(({ trial }) => trial.clip !== undefined);
  return tableOf(
    shown.length > 0
      ? "Times in the order skated; means over the trials ± as of one trial, in brackets how many had it (each trial: tables/trials.csv)"
      : "Times in the order skated",
    ["", ...techniques.map((own) => right(own[0]!.name))],
    [
      [
        "time, s",
        ...techniques.map((own) =>
          own.map((c) => timeOf(c, places)).join(own.some((c) => c.trial.clipSd !== undefined) ? ", " : " "),
        ),
      ],
      ...(judged ? [["as asked", ...techniques.map((own) => counted(own.map(askedOf)))]] : []),
      ...shown.map((q) => [
        `${q.name}, ${q.unit}`,
        ...techniques.map((own) => meanCell(own.map((c) => had(c, q)))),
      ]),
    ],
    true,
  );
}

/** "7 yes, 3 can't tell" */
function counted(answers: readonly string[]): string {
  return [...new Set(answers)].map((a) => `${answers.filter((x) => x === a).length} ${a}`).join(", ");
}

/** What trials share (camera, ice points) does not average out, so ± is as of one. */
function meanCell(of: readonly TrialMean[]): string {
  const had = of.flatMap((m) => ("mean" in m ? [m] : []));
  if (had.length === 0) return "–";
  const reading = { value: mean(had.map((m) => m.mean)), u95: mean(had.map((m) => m.u95)) };
  return `${formatReading(reading, "")} (${had.length})`;
}
