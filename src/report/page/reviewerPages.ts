import { estimateText } from "../../compare/estimateText.ts";
import type { ManyTechniques } from "../../compare/manyTechniques.ts";
import { manyWords } from "../../compare/manyWords.ts";
import { type NumberRow, numberRows } from "../../compare/numberRows.ts";
import { countWord, intervalText, plusMinus, pText, withInterval } from "../../compare/numbers.ts";
import { withinTechniqueWords, withinWords } from "../../compare/withinWords.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import type { MarkingReliability } from "../../trials/markingReliability.ts";
import { formatNumber, withUnit } from "../../uncertainty/format.ts";
import type { CompareDetails } from "../compareDetails.ts";
import { figureTitle } from "../figures/studyFigures.ts";
import type { StudyReport } from "../studyReport.ts";
import type { StudyCharts } from "./chartFigure.ts";
import { html, list, type Markup, oneLine, right, tableOf } from "./markup.ts";
import { minusWords } from "./minusWords.ts";

export interface ReviewerSources {
  readonly report: StudyReport;
  readonly details: CompareDetails | null;
  readonly again: MarkingReliability | null;
  readonly charts: StudyCharts;
  readonly made: string;
}

/** More rows than that nobody reads on paper; the tables have them all. */
const MOST_TRIALS = 120;
const MOST_SCALES = 40;
const WORST_SCALES = 3;
const MOST_NAMED = 6;

/** Everything for whoever wants to check or repeat it. */
export function reviewerPages({ report, details, again, charts, made }: ReviewerSources): Markup {
  const { answer } = report;
  const picture = (which: "orderOfDay" | "tracks" | "sides" | "strides") =>
    answer && charts[which] && html`<h2>${figureTitle(which, answer)}</h2>${charts[which].figure}`;
  const times = html`<h2>Trials in run order</h2>${trials(report)}${
    details && list([...details.contradictions, ...details.unlike])
  }${picture("orderOfDay")}${
    answer && html`<h2>The numbers</h2>${numbers(report)}${list(answer.worthKnowing.map((w) => w.text))}`
  }${details?.many && html`<h2>All techniques against each other</h2>${allTechniques(details.many)}`}${
    details &&
    html`<h2>How well trials and marking repeat</h2>${repeats(details)}${again && markedAgain(again)}`
  }`;
  // Pictures stand so that two share a sheet or a table that can be cut follows.
  const measured = html`${
    details &&
    html`<h2>Time against what was measured, within skater</h2>${charts.timeAgainst?.figure}${within(details)}`
  }${(["tracks", "sides", "strides"] as const).map(picture)}<h2>Scale and marking, trial by trial</h2>${scales(report)}<h2>What could not be measured, and why</h2>${refused(report)}`;
  return html`<section class="page study reviewer" aria-label="For whoever checks it"><h1>For whoever checks it</h1><p class="quiet">${made}</p><h2>Who, where, how</h2>${list(report.setting)}${times}${measured}<div class="last"><h2>Cautions</h2>${list(report.cautions)}<h2>How to repeat it</h2>${list(report.repeat)}</div></section>`;
}

/** Columns in which nothing stands are left out; why is said under what could not be measured. */
function trials(report: StudyReport): Markup {
  if (report.trials.length === 0) return html`<p>There are no trials yet.</p>`;
  if (report.trials.length > MOST_TRIALS) return timesByCell(report);
  const shown = report.columns.flatMap((_, k) => (report.trials.some((t) => t.values[k] !== "–") ? [k] : []));
  const judged = report.trials.some((t) => t.asAsked !== null);
  const clock = report.trials.some((t) => t.byClip)
    ? "time (by photocells where it says nothing else)"
    : "photocell time";
  const table = tableOf(
    shown.length === 0
      ? `Every trial and its ${clock}; nothing is measured on a clip`
      : `Every trial: ${clock}, means over strides ± half-width of the 95 % interval, and whether it shows what was asked`,
    [
      ...[right("No."), "Skater", oneLine("Technique, trial"), right("Time, s")],
      ...[...shown.map((k) => right(report.columns[k]!)), ...(judged ? [oneLine("As asked")] : [])],
    ],
    report.trials.map((t) => [
      ...[t.order, t.skater],
      t.note === ""
        ? `${t.technique}, ${t.repeat}`
        : html`${t.technique}, ${t.repeat}<small>${t.note}</small>`,
      ...[t.time, ...shown.map((k) => t.values[k]!), ...(judged ? [t.asAsked ?? "–"] : [])],
    ]),
  );
  return html`${table}${minusWords(report.trials.flatMap((t) => t.values.filter((_, k) => /^touchdown/i.test(report.columns[k]!))))}`;
}

/** Of more trials than anybody reads in rows: a row a skater, a column a technique. */
function timesByCell({ trials: all }: StudyReport): Markup {
  const skaters = [...new Set(all.map((t) => t.skater))].sort();
  const techniques = [...new Set(all.map((t) => t.technique))];
  const times = (skater: string, technique: string) =>
    all
      .filter((t) => t.skater === skater && t.technique === technique)
      .map((t) => (t.note === "" ? t.time : `${t.time} (${t.note})`))
      .join(" ");
  return tableOf(
    "Times of each skater’s trials, by photocells where nothing else is said, in the order skated, s; in brackets: noted. tables/trials.csv has every trial in a row of its own, with its measures",
    ["Skater", ...techniques],
    skaters.map((skater) => [skater, ...techniques.map((technique) => times(skater, technique))]),
    true,
  );
}

function within({ within: lines }: CompareDetails): Markup {
  const first = lines.find((w) => w.line.value !== null) ?? lines[0];
  const said = first
    ? [...withinWords(first.line, first.measure), withinTechniqueWords(first.repeats, first.measure)]
    : [];
  const words = said.map((s) => html`<p>${s}</p>`);
  // One reason for all of them need not be said four times.
  const whys = new Set(lines.map(({ line }) => (line.value === null ? line.why : "")));
  if (whys.size === 1 && !whys.has("")) return html`${words}`;
  return html`${words}${tableOf(
    "Time for one unit more of each measure, within skater",
    ["Measure", right("time for one unit more, 95 % interval"), right("correlation"), right("p")],
    lines.map(({ measure, line }) => {
      const { name, unit } = QUANTITY_WORDS[measure];
      if (line.value === null) return [name, line.why, "–", "–"];
      const per = unit === "/s" ? "s per push/s" : `s per ${unit}`;
      return [
        name,
        `${plusMinus(line.value, (line.ci95[1] - line.ci95[0]) / 2, per)} (${intervalText(line.ci95, per)})`,
        formatNumber(line.r, 2),
        pCell(line.p),
      ];
    }),
    true,
  )}`;
}

function numbers({ answer }: StudyReport): Markup {
  const without = answer!.asAskedOnly && numberRows(answer!.asAskedOnly);
  return html`<div class="statistics">${tableOf(
    `Statistics of time, ${answer!.all.b} minus ${answer!.all.a}`,
    ["", right(without ? "all trials" : "value"), ...(without ? [right("without those not as asked")] : [])],
    numberRows(answer!.all).map((row, k) => [
      html`${row.label}<small>${row.meaning}</small>`,
      row.text,
      ...(without ? [besides(row, without[k])] : []),
    ]),
    true,
  )}</div>`;
}

function allTechniques(many: ManyTechniques): Markup {
  return html`${manyWords(many, "time_s").map((s) => html`<p>${s}</p>`)}${tableOf(
    "Time of every pair of techniques, second minus first, skater means",
    [
      ...["Pair", right("skaters"), right("difference, 95 % interval")],
      ...[right("p"), right("p, adjusted for all pairs (Holm)")],
    ],
    many.pairs.map(({ a, b, n, difference, p, pHolm }) => [
      ...[`${b} minus ${a}`, n, difference.value === null ? difference.why : estimateText(difference, "s")],
      ...[p, pHolm].map((had) => (had.value === null ? "–" : pCell(had.value))),
    ]),
    true,
  )}`;
}

/** "0.063" under a head that says p. */
function pCell(p: number): string {
  return pText(p).replace(/^p (= )?/, "");
}

/** A row's number without some trials; what its label counts is said where it is another count. */
function besides({ label }: NumberRow, without: NumberRow | undefined): string {
  if (!without) return "–";
  const count = without.label.split(", ")[1];
  return without.label === label || !count || !without.isKnown ? without.text : `${without.text} (${count})`;
}

function repeats({ trials: of, marking, observers }: CompareDetails): Markup {
  return html`${tableOf(
    "Repeats of one skater and technique",
    ["Technique", right("typical error, 95 % interval"), right("ICC(3,1), 95 % interval")],
    of.map(({ technique, found }) => {
      if (found.value === null) return [technique, found.why, "–"];
      const { typicalError, icc } = found.value;
      if (typicalError.value === null) return [technique, typicalError.why, "–"];
      return [
        technique,
        withInterval(typicalError.value, typicalError.ci95, "s"),
        icc.value === null ? icc.why : coefficient(icc.value.consistency),
      ];
    }),
    true,
  )}<p>${
    marking === null
      ? "Marking: fewer than ten points were marked again, so how well marks repeat is not known here."
      : `Marking: one mark is good to ${withUnit(formatNumber(marking.sdPx, 2), "px")} a coordinate (${formatNumber(marking.low, 2)} to ${withUnit(formatNumber(marking.high, 2), "px")}; ${marking.points} points marked again); ${withUnit(formatNumber(marking.usedPx, 2), "px")} is used, a little more, as few points were marked again.`
  }${
    observers.value !== null &&
    ` Between ${countWord(observers.observers)} observers marks lie ${withUnit(formatNumber(observers.value, 2), "px")} apart (SD; ${observers.points} points).`
  }</p>`;
}

/** What the hand alone adds to a single stride. */
function markedAgain({ trials: of, markings, quantities }: MarkingReliability): Markup {
  const size = (value: number, unit: string) => withUnit(formatNumber(value, 3), unit);
  const times = markings === 2 ? "twice" : `${markings} times`;
  return tableOf(
    `${of.length === 1 ? "One trial was" : `${of.length} trials were`} marked ${times}, later without seeing the first marks: how far a single stride’s number moves by that. The event frames are the same`,
    [
      ...["Measure", right("strides"), right("typical error, 95 % interval")],
      ...[right("1st minus 2nd, 95 % limits"), right("ICC(2,1), 95 % interval")],
    ],
    quantities.map(({ quantity, found }) => {
      const { name, unit } = QUANTITY_WORDS[quantity];
      if (found.value === null) return [name, "–", found.why, "–", "–"];
      const { n, typicalError, limits, icc } = found.value;
      if (typicalError.value === null) return [name, n, typicalError.why, "–", "–"];
      return [
        ...[name, n, withInterval(typicalError.value, typicalError.ci95, unit)],
        limits.value === null
          ? "–"
          : `${formatNumber(limits.value.low.value, 3)} to ${size(limits.value.high.value, unit)}`,
        icc.value === null ? "–" : coefficient(icc.value.agreement),
      ];
    }),
    true,
  );
}

/** "0.98 (0.93 to 1.00)" */
function coefficient({ value, ci95 }: { value: number; ci95: readonly [number, number] }): string {
  return `${formatNumber(value, 2)} (${formatNumber(ci95[0], 2)} to ${formatNumber(ci95[1], 2)})`;
}

/** The first of a long list, and how many more there are. */
function some(of: readonly string[]): string {
  if (of.length <= MOST_NAMED) return of.join("; ");
  return `${of.slice(0, MOST_NAMED - 1).join("; ")}; and ${of.length - MOST_NAMED + 1} more, see tables/refused.csv`;
}

function scales({ marking, fit }: StudyReport): Markup {
  if (marking.length === 0) return html`<p>Nothing is marked yet.</p>`;
  const many = marking.length > MOST_SCALES;
  const shown = many
    ? [...marking].sort((x, y) => (y.fitPx ?? 0) - (x.fitPx ?? 0)).slice(0, WORST_SCALES)
    : marking;
  return html`<div class="scales">${tableOf(
    many
      ? `What was measured from: the ${countWord(WORST_SCALES)} trials of ${marking.length} whose ice points fit worst. All are in tables/trials.csv`
      : "What each trial was measured from",
    [oneLine("Trial"), "Marks", "Scale of the ice", "Camera as the ice points show it"],
    shown.map((m) => [m.trial, m.marks, m.scale, m.camera]),
  )}${fit && html`<p class="quiet">${fit}</p>`}</div>`;
}

function refused({ refused: reasons, trials: all }: StudyReport): Markup {
  if (reasons.length === 0)
    return html`<p>${all.length === 0 ? "There are no trials yet, so nothing was asked for." : "Everything asked for could be measured."}</p>`;
  return tableOf(
    "Each reason once, and how often it held",
    ["Why", right("Times"), "For"],
    reasons
      .slice()
      .sort((x, y) => y.of.length - x.of.length)
      .map((r) => [r.why, r.of.length, some(r.of)]),
  );
}
