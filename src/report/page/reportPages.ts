import { type Names, trialLabel } from "../../study/labels.ts";
import type { WholeStudy } from "../../study/types.ts";
import { countedReadings } from "../../trials/countedReadings.ts";
import { markingReliability } from "../../trials/markingReliability.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import { formatReading } from "../../uncertainty/format.ts";
import { compareDetails } from "../compareDetails.ts";
import type { DrawingDocument } from "../figures/drawing.ts";
import { studyFigures } from "../figures/studyFigures.ts";
import type { StillPlan, StridePlans } from "../still/planStill.ts";
import { type StillPicture, stillLabel, stillSvg } from "../still/stillSvg.ts";
import { studyReport } from "../studyReport.ts";
import { answerPage } from "./answerPage.ts";
import { studyCharts } from "./chartFigure.ts";
import { escaped, html } from "./markup.ts";
import { reviewerPages } from "./reviewerPages.ts";
import { skaterPage, skaterStills } from "./skaterPage.ts";
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

/** The whole report: the answer, a page for each skater, then everything for whoever checks it. The same on screen, on paper and from the command line. */
export function reportPages(whole: WholeStudy, request: ReportRequest): Report {
  const { names, document, pictureOf, made } = request;
  const readingOf = countedReadings(whole, request.readingOf);
  const report = studyReport(whole, names, request.readingOf);
  const { answer } = report;
  const details = answer && compareDetails(whole, "time_s", names, request.readingOf);
  const figures: { name: string; svg: string }[] = [];
  const charts =
    answer && details
      ? studyCharts(
          studyFigures({
            whole,
            names,
            answer,
            measured: report.measured,
            details,
            readingOf: request.readingOf,
          }),
          document,
        )
      : {};
  for (const chart of Object.values(charts)) figures.push(chart);
  const first = answerPage(report, details, charts);
  const last = reviewerPages({ report, details, again: markingReliability(whole), charts, made });
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
        const stillsOf = (of: StridePlans, which: "a" | "b") =>
          shown(of, plans!).map((plan, n) => still(plan, n === 0 ? which : `${which}-recovery`));
        const values = (plans ?? [])
          .flatMap((of) => shown(of, plans!))
          .flatMap(({ touchdown, recovery }) => [touchdown, recovery])
          .flatMap((line) => (line ? [formatReading(line, "m")] : []));
        const of = plans?.some(({ off }) => off.arms.length > 0) ? ("arms" as const) : ("blades" as const);
        const stills = plans && { a: stillsOf(plans[0], "a"), b: stillsOf(plans[1], "b"), values, of };
        return skaterPage(skater, { whole, names, answer, readingOf }, stills);
      })
    : [];
  return {
    title: report.question,
    body: html`${first}${skaters}${last}`.text,
    figures: figures.map(({ name, svg }) => ({ name, svg })),
  };
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
