import { mean } from "../../compare/mean.ts";
import { QUANTITY_WORDS } from "../../compare/quantityWords.ts";
import { type Names, skaterLabels, trialLabel } from "../../study/labels.ts";
import type { WholeStudy } from "../../study/types.ts";
import { countedReadings } from "../../trials/countedReadings.ts";
import type { CheckQuantity, ReadingOf } from "../../trials/techniqueCheck.ts";
import { compareDetails } from "../compareDetails.ts";
import type { Drawing, DrawingDocument } from "../figures/drawing.ts";
import { eachSkaterLabel, eachSkaterPlot } from "../figures/eachSkaterPlot.ts";
import { techniqueCheckLabel, techniqueCheckPlot } from "../figures/techniqueCheckPlot.ts";
import { type TimePoint, timeAgainstLabel, timeAgainstPlot } from "../figures/timeAgainstPlot.ts";
import type { StillPlan, StridePlans } from "../still/planStill.ts";
import { type StillPicture, stillLabel, stillSvg } from "../still/stillSvg.ts";
import type { StudyAnswer } from "../studyAnswer.ts";
import { studyReport } from "../studyReport.ts";
import { chartFigure, techniquesKey } from "./chartFigure.ts";
import { escaped, html } from "./markup.ts";
import { skaterPage, skaterStills } from "./skaterPage.ts";
import { studyPage } from "./studyPage.ts";
import { REPORT_STYLE } from "./style.ts";

export interface ReportRequest {
  readonly names: Names;
  readonly readingOf: ReadingOf;
  /** To draw in; absent = the window's own. */
  readonly document?: DrawingDocument;
  /** The frame of a still; null = not at hand, then the drawing stands alone. */
  readonly pictureOf: (still: StillPlan) => StillPicture | null;
  /** "Made on 3 March 2026 with Blademark 0.1.0." */
  readonly made: string;
}

export interface Report {
  /** One line, for the window's title. */
  readonly title: string;
  /** Everything inside `<article class="report">`, without its style. */
  readonly body: string;
  /** Drawings as SVG by file name without ending. */
  readonly figures: readonly { readonly name: string; readonly svg: string }[];
}

/** Charts are drawn this wide: the text then prints at 9 to 10 pt on A4 and Letter. */
const WIDTH = 688;

/** The stills a report shows, so that their frames can be fetched before it is written. */
export function reportStills(whole: WholeStudy, names: Names, readings: ReadingOf): StillPlan[] {
  const { answer } = studyReport(whole, names, readings);
  const readingOf = countedReadings(whole, readings);
  if (!answer) return [];
  return whole.study.skaters.flatMap((s) => {
    const stills = skaterStills(whole, s.id, answer, readingOf);
    return stills ? stills.flatMap((of) => shown(of, stills)) : [];
  });
}

/** The whole report: the study's pages, then a page for each skater. The same on screen, on paper and from the command line. */
export function reportPages(whole: WholeStudy, request: ReportRequest): Report {
  const { names, document, pictureOf, made } = request;
  const readingOf = countedReadings(whole, request.readingOf);
  const report = studyReport(whole, names, request.readingOf);
  const { answer } = report;
  const details = answer && compareDetails(whole, "time_s", names, request.readingOf);
  const figures: { name: string; svg: string }[] = [];
  /** The library labels groups without a role, which readers of the screen may not do; the words stand on the figure. */
  const chart = (name: string, drawing: Drawing, label: string): string => {
    const bare = drawing.outerHTML.replace(/ aria-(label|hidden)="[^"]*"/g, "");
    figures.push({
      name,
      svg: standalone(bare.replace(/^<svg[^>]*>/, `$&<title>${escaped(label)}</title>`)),
    });
    return bare;
  };
  const points = answer ? timePoints(whole, answer, "stride_width_m", names, readingOf) : [];
  const study = studyPage(
    report,
    details,
    {
      eachSkater:
        answer && answer.all.n > 0
          ? chartFigure(
              chart("each-skater", eachSkaterPlot(answer.all, WIDTH, document), eachSkaterLabel(answer.all)),
              eachSkaterLabel(answer.all),
              [
                ...techniquesKey(answer.all),
                ...(answer.all.smallestWorthwhile.value === null
                  ? []
                  : [["band", "too small to be worth it"] as const]),
                ...(answer.all.pairs.some((p) => p.u95.value !== null)
                  ? [["interval", "95 % interval of the difference"] as const]
                  : []),
              ],
            )
          : null,
      techniqueCheck: answer?.check.trials.some((t) => !("why" in t.mean))
        ? chartFigure(
            chart(
              "as-asked",
              techniqueCheckPlot(answer.check, WIDTH, document),
              techniqueCheckLabel(answer.check),
            ),
            techniqueCheckLabel(answer.check),
            [...techniquesKey(answer.all), ["ring", "not as asked"]],
            `Trial means of ${QUANTITY_WORDS[answer.check.quantity].name}, ${QUANTITY_WORDS[answer.check.quantity].unit}, with their 95 % intervals.`,
          )
        : null,
      timeAgainst:
        answer && points.length > 0
          ? chartFigure(
              chart(
                "time-against-width",
                timeAgainstPlot(points, "stride_width_m", WIDTH, document),
                timeAgainstLabel(points, "stride_width_m", answer.all),
              ),
              timeAgainstLabel(points, "stride_width_m", answer.all),
              techniquesKey(answer.all),
              "Each skater’s two means, joined, over the trials that have both a time and a measured width. Only skaters with both.",
            )
          : null,
    },
    made,
  );
  const skaters = answer
    ? whole.study.skaters.map((skater, k) => {
        const plans = skaterStills(whole, skater.id, answer, readingOf);
        const still = (plan: StillPlan, name: string) => {
          const svg = stillSvg(
            plan,
            pictureOf(plan),
            stillLabel(plan, trialLabel(whole.study, plan.trial, names)),
          );
          figures.push({ name: `still-skater-${k + 1}-${name}`, svg: svg.text });
          return svg;
        };
        const drawn = (of: StridePlans, which: "a" | "b") =>
          shown(of, plans!).map((plan, n) => still(plan, n === 0 ? which : `${which}-recovery`));
        const stills = plans && { a: drawn(plans[0], "a"), b: drawn(plans[1], "b") };
        return skaterPage(whole, skater, names, answer, readingOf, stills);
      })
    : [];
  return { title: report.question, body: html`${study}${skaters}`.text, figures };
}

/** The recovery only where both techniques show it: one alone would have nothing beside it. */
function shown({ off, nearest }: StridePlans, both: readonly StridePlans[]): StillPlan[] {
  return nearest && both.every((p) => p.nearest) ? [off, nearest] : [off];
}

/** The report as one file that asks for nothing else. */
export function reportHtml({ title, body }: Pick<Report, "title" | "body">): string {
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:"><title>${escaped(title)}</title><style>body{margin:0;background:#fff}${REPORT_STYLE}</style></head><body><main class="report">${body}</main></body></html>
`;
}

function timePoints(
  { study }: WholeStudy,
  { a, b, check }: StudyAnswer,
  measure: CheckQuantity,
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

const COLOURS: Readonly<Record<string, string>> = {
  ...{ card: "#ffffff", ink: "#14212b", quiet: "#51616e", line: "#c3d2dc", chip: "#dde7ee" },
  ...{ accent: "#0b6e8f", "accent-soft": "#cfe8f1", good: "#14694b", care: "#8a5200" },
};

/** A drawing that needs no style sheet beside it. */
function standalone(svg: string): string {
  const coloured = svg.replace(/var\(--([a-z-]+)\)/g, (all, name: string) => COLOURS[name] ?? all);
  const named = /^<svg[^>]*xmlns=/.test(coloured)
    ? coloured
    : coloured.replace(/^<svg/, '<svg xmlns="http://www.w3.org/2000/svg"');
  return named.replace(/currentColor/g, COLOURS.ink!);
}
