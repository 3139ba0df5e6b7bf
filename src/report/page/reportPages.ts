import { type Names, shownStudy, skaterLabels, trialLabel } from "../../study/labels.ts";
import type { WholeStudy } from "../../study/types.ts";
import { withClipTimes } from "../../trials/clipTime.ts";
import { countedReadings } from "../../trials/countedReadings.ts";
import { markingReliability } from "../../trials/markingReliability.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import { formatReading } from "../../uncertainty/format.ts";
import { compareDetails } from "../compareDetails.ts";
import type { DrawingDocument } from "../figures/drawing.ts";
import { ownTrialsFigure } from "../figures/eachSkaterFigure.ts";
import { studyFigures } from "../figures/studyFigures.ts";
import type { StillPlan } from "../still/planStill.ts";
import { type SkaterStills, skaterStills } from "../still/skaterStills.ts";
import { type StillPicture, stillLabel, stillSvg } from "../still/stillSvg.ts";
import { studyReport } from "../studyReport.ts";
import { answerPage } from "./answerPage.ts";
import { studyChart, studyCharts } from "./chartFigure.ts";
import { escaped, html, type Markup } from "./markup.ts";
import { reviewerPages } from "./reviewerPages.ts";
import { type DrawnStills, skaterPage } from "./skaterPage.ts";
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
export function reportStills(given: WholeStudy, names: Names, readings: ReadingOf): StillPlan[] {
  const whole = shownStudy(given, names);
  const { answer } = studyReport(whole, names, readings);
  const readingOf = countedReadings(whole, readings);
  if (!answer) return [];
  return whole.study.skaters.flatMap((s) => {
    const stills = skaterStills(whole, s.id, answer, readingOf);
    return stills ? [...stills.a, ...stills.b] : [];
  });
}

/** The whole report: the answer, a page for each skater, then everything for whoever checks it. The same on screen, on paper and from the command line. */
export function reportPages(given: WholeStudy, request: ReportRequest): Report {
  const { names, document, pictureOf, made } = request;
  const whole = withClipTimes(shownStudy(given, names));
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
        const name = skaterLabels(whole.study, names).get(skater.id) ?? skater.id;
        const own = ownTrialsFigure(answer.all, name, k + 1, !answer.words.notTested);
        const trials = own && studyChart(own, document);
        if (trials) figures.push(trials);
        const plans = skaterStills(whole, skater.id, answer, readingOf);
        const still = (plan: StillPlan, which: string) => {
          const svg = stillSvg(
            plan,
            pictureOf(plan),
            stillLabel(plan, trialLabel(whole.study, plan.trial, names)),
          );
          figures.push({ name: `still-skater-${k + 1}-${which}`, svg: svg.text });
          return svg;
        };
        const sources = { whole, names, answer, readingOf };
        const stills = plans && drawnStills(plans, still);
        return skaterPage(skater, sources, { stills, trials: trials?.figure ?? null });
      })
    : [];
  return {
    title: report.question,
    body: html`${first}${skaters}${last}`.text,
    figures: figures.map(({ name, svg }) => ({ name, svg })),
  };
}

function drawnStills(plans: SkaterStills, draw: (plan: StillPlan, which: string) => Markup): DrawnStills {
  const second = plans.of === "arms" ? "back" : "recovery";
  const of = (which: "a" | "b") =>
    plans[which].map((plan, n) =>
      draw(
        plan,
        plans.shows === "left and right"
          ? `${which}-${n === 0 ? "left" : "right"}`
          : n === 0
            ? which
            : `${which}-${second}`,
      ),
    );
  const values = [...plans.a, ...plans.b].flatMap(({ touchdown, recovery }) =>
    [touchdown, recovery].flatMap((line) => (line ? [formatReading(line, "m")] : [])),
  );
  return { ...plans, a: of("a"), b: of("b"), values };
}

/** The report as one file that asks for nothing else. */
export function reportHtml({ title, body }: Pick<Report, "title" | "body">): string {
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:"><title>${escaped(title)}</title><style>body{margin:0;background:#fff}${REPORT_STYLE}</style></head><body><main class="report">${body}</main></body></html>
`;
}
