import type { ManyTechniques } from "../../compare/manyTechniques.ts";
import { responseWords } from "../../compare/responseWords.ts";
import type { Comparison } from "../../compare/types.ts";
import type { CompareDetails } from "../compareDetails.ts";
import type { OneTechnique } from "../oneTechnique.ts";
import { opening } from "../opening.ts";
import type { StudyAnswer } from "../studyAnswer.ts";
import type { StudyReport } from "../studyReport.ts";
import type { StudyCharts } from "./chartFigure.ts";
import { html, type Markup, right, tableOf } from "./markup.ts";

/** The answer on one side of paper: which, for whom, how sure, how much, what next; each skater; what it hangs on. */
export function answerPage(report: StudyReport, details: CompareDetails | null, charts: StudyCharts): Markup {
  const { answer, alone, measured } = report;
  const start =
    answer && opening(answer.words, answer.care, details?.many ?? null, answer.all.smallestWorthwhile);
  const alike = answer && responseWords(answer.all);
  const after = [...(start?.after ?? []), ...(alike ? [alike] : [])];
  return html`<section class="page study" aria-label="Answer"><header><h1>${report.question}</h1>${report.evening !== null && html`<p class="quiet">${report.evening}</p>`}${
    measured
      ? measuredFirst(measured, start?.support ?? [])
      : start
        ? html`<p class="headline">${start.headline}</p>${start.support.map((s) => html`<p>${s}</p>`)}${start.cares.map((s) => html`<p class="care">${s}</p>`)}`
        : alone
          ? html`<p class="headline">${alone.headline}</p>${alone.support.map((s) => html`<p>${s}</p>`)}`
          : html`<p class="headline">There are no two techniques to compare.</p>`
  }${report.plan.map((s) => html`<p>${s}</p>`)}</header>${alone && skatersAlone(alone)}${measured && html`<h2>Each skater: ${measured.all.b} against ${measured.all.a}</h2>${charts.measured?.figure}`}${
    answer &&
    charts.eachSkater &&
    html`<h2>Each skater: ${answer.all.b} against ${answer.all.a}</h2>${details?.many && notPictured(details.many, answer.all)}${charts.eachSkater.figure}`
  }${after.length > 0 && html`<div class="after">${after.map((s) => html`<p>${s}</p>`)}</div>`}${
    answer &&
    answer.sensitivity.length > 1 &&
    html`<div class="kept"><h2>Would leaving something out change it?</h2>${leftOut(answer)}</div>`
  }${
    answer &&
    (charts.techniqueCheck || answer.care === null) &&
    html`<div class="kept"><h2>Did they do what was asked?</h2>${charts.techniqueCheck?.figure ?? html`<p>No trial is measured yet.</p>`}${details && achievedWords(details)}</div>`
  }</section>`;
}

/** Of three or more techniques the picture has two; the best of all may be none of them. */
function notPictured(many: ManyTechniques, { a, b }: Comparison): Markup | false {
  if (many.means.value === null) return false;
  const best = many.techniques[many.means.value.indexOf(Math.min(...many.means.value))]!;
  return (
    best !== a &&
    best !== b &&
    html`<p class="quiet">Not pictured: ${best}, which had the best mean time.</p>`
  );
}

/** One line each: the mean difference without some of what it rests on. */
function leftOut({ all, sensitivity }: StudyAnswer): Markup {
  return html`<div class="sensitivity">${tableOf(
    `Mean difference, ${all.b} minus ${all.a}, ± its 95 % interval`,
    ["", right("difference"), right("skaters")],
    sensitivity.map((row) => [
      row.note === "" ? row.label : html`${row.label}<small>${row.note}</small>`,
      row.text,
      row.n,
    ]),
    true,
  )}</div>`;
}

/** Each skater of a study with one technique. */
function skatersAlone({ rows }: OneTechnique): Markup {
  return tableOf(
    "Photocell times, s, in the order skated",
    ["Skater", right("mean, s"), right("best, s"), right("every trial, s")],
    rows,
    true,
  );
}

/** The answer in what was measured, where there are no times to compare; then what next. */
function measuredFirst({ words }: StudyAnswer, untimed: readonly string[]): Markup {
  const measured = words.support.filter((s) => !s.startsWith("Next:"));
  return html`<p class="headline">Without times nobody can say which is faster; what was measured:</p><div class="measured"><p class="headline">${words.headline}</p>${measured.map((s) => html`<p>${s}</p>`)}</div>${untimed.filter((s) => s.startsWith("Next:")).map((s) => html`<p>${s}</p>`)}`;
}

function achievedWords({ achieved }: CompareDetails): Markup {
  return html`<p>${achieved.value === null ? achieved.why : achieved.words.join(" ")}</p>`;
}
