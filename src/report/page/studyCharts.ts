import type { TrialQuantity } from "../../quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { mean } from "../../statistics/mean.ts";
import { type Names, skaterLabels } from "../../study/labels.ts";
import type { WholeStudy } from "../../study/types.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import type { CompareDetails } from "../compareDetails.ts";
import type { Drawing, DrawingDocument } from "../figures/drawing.ts";
import { eachSkaterLabel, eachSkaterPlot } from "../figures/eachSkaterPlot.ts";
import { standaloneChart } from "../figures/standaloneChart.ts";
import { techniqueCheckLabel, techniqueCheckPlot } from "../figures/techniqueCheckPlot.ts";
import { type TimePoint, timeAgainstLabel, timeAgainstPlot } from "../figures/timeAgainstPlot.ts";
import type { StudyAnswer } from "../studyAnswer.ts";
import { chartFigure, type Key, techniquesKey } from "./chartFigure.ts";
import type { Markup } from "./markup.ts";

/** Charts are drawn this wide: the text then prints at 9 to 10 pt on A4 and Letter. */
const WIDTH = 688;

/** A chart as it stands in the report, and as a file of its own. */
export interface StudyChart {
  readonly name: string;
  readonly figure: Markup;
  readonly svg: string;
}

export interface StudyCharts {
  readonly eachSkater: StudyChart | null;
  readonly techniqueCheck: StudyChart | null;
  readonly timeAgainst: StudyChart | null;
}

/** The study's charts; null where there is nothing to draw. */
export function studyCharts(
  whole: WholeStudy,
  answer: StudyAnswer,
  details: CompareDetails,
  names: Names,
  readingOf: ReadingOf,
  document: DrawingDocument | undefined,
): StudyCharts {
  const { all, check } = answer;
  const techniques = techniquesKey(all);
  const measure = details.within.find((w) => w.line.value !== null)?.measure ?? "stride_width_m";
  const points = timePoints(whole, answer, measure, names, readingOf);
  const { name, unit } = QUANTITY_WORDS[check.quantity];
  return {
    eachSkater:
      all.n === 0
        ? null
        : chart("each-skater", eachSkaterPlot(all, WIDTH, document), eachSkaterLabel(all), [
            ...techniques,
            ...(all.smallestWorthwhile.value === null ? [] : [["band", "too small to be worth it"] as const]),
            ...(all.pairs.some((p) => p.u95.value !== null)
              ? [["interval", "95 % interval of the difference"] as const]
              : []),
          ]),
    techniqueCheck: check.trials.every((t) => "why" in t.mean)
      ? null
      : chart(
          "as-asked",
          techniqueCheckPlot(check, WIDTH, document),
          techniqueCheckLabel(check),
          [
            ...techniques,
            ...(check.trials.some((t) => t.asked.answer === "no") ? [["ring", "not as asked"] as const] : []),
          ],
          `Trial means of ${name}, ${unit}, with their 95 % intervals. Bands: what was asked.`,
        ),
    timeAgainst:
      points.length === 0
        ? null
        : chart(
            `time-against-${QUANTITY_WORDS[measure].name.replaceAll(" ", "-")}`,
            timeAgainstPlot(points, measure, WIDTH, document),
            timeAgainstLabel(points, measure, all),
            techniques,
            `Each skater’s two means, joined, over the trials that have both a time and a measured ${QUANTITY_WORDS[measure].name}. Only skaters with both.`,
          ),
  };
}

/** The library labels groups without a role, which readers of the screen may not do; the words stand on the figure. */
function chart(name: string, drawing: Drawing, label: string, key: Key, note?: string): StudyChart {
  const bare = drawing.outerHTML.replace(/ aria-(label|hidden)="[^"]*"/g, "");
  return { name, figure: chartFigure(bare, label, key, note), svg: standaloneChart(bare, label, key) };
}

function timePoints(
  { study }: WholeStudy,
  { a, b, check }: StudyAnswer,
  measure: TrialQuantity,
  names: Names,
  readingOf: ReadingOf,
): TimePoint[] {
  const labels = skaterLabels(study, names);
  return study.skaters.flatMap(({ id }) => {
    const both = ([a, b] as const).map((technique) => {
      const trials = check.trials.flatMap(({ trial }) => {
        if (trial.skater !== id || trial.technique !== technique.id || trial.time === null) return [];
        const reading = readingOf(trial.id);
        const value = reading.ok ? reading.value.trial[measure] : null;
        return value && "mean" in value ? [{ x: value.mean, time: trial.time }] : [];
      });
      return trials.length === 0
        ? null
        : { x: mean(trials.map((t) => t.x)), time: mean(trials.map((t) => t.time)) };
    });
    const [first, second] = both;
    if (!first || !second) return [];
    const skater = labels.get(id) ?? id;
    return [
      { skater, which: "a" as const, ...first },
      { skater, which: "b" as const, ...second },
    ];
  });
}
