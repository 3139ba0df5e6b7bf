import { placesOf } from "../../compare/numbers.ts";
import type { SkaterJson } from "../../pool/skaterJson.ts";
import { changeWords, trendWords } from "../../pool/skaterSeason.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { dayText } from "../../study/lockedPlan.ts";
import { formatNumber, placesFor, plusMinus, withUnit } from "../../uncertainty/format.ts";
import { capital } from "../../words.ts";
import type { DrawingDocument } from "../figures/drawing.ts";
import { seasonFigure } from "../figures/seasonFigure.ts";
import { studyChart } from "./chartFigure.ts";
import { html, list, type Markup, oneLine, right, tableOf } from "./markup.ts";

type Quantity = SkaterJson["quantities"][number];

/**
 * A skater's season to print: what changed and whether that can be told, her times drawn, then every quantity evening by
 * evening.
 *
 * @param document to draw in; absent = the window's own
 */
export function skaterSeasonPage(season: SkaterJson, document?: DrawingDocument): Markup {
  const { code, studies, quantities, warnings } = season;
  const figure = seasonFigure(season);
  const times = quantities.filter((q) => q.quantity === "time_s");
  const kinds = [...new Set(quantities.map((q) => q.quantity))];
  return html`<section class="page season" aria-label="${code}"><h1>${code} through the season</h1><p>${eveningsWords(studies)}</p>${warnings.map(
    (w) => html`<p class="care">${w.text}</p>`,
  )}${times.map((q) => html`<p><b>Time, ${q.technique}.</b> ${timeWords(q)}</p>`)}${
    figure && studyChart(figure, document).figure
  }<h2>What changed</h2>${changes(quantities)}${reasons(quantities)}<p class="quiet">${NOTE}</p><h2>Evening by evening</h2>${kinds.map(
    (kind) => byEvening(quantities.filter((q) => q.quantity === kind)),
  )}</section>`;
}

const NOTE =
  "Trials of an evening are averaged. ± is half of a 95 % interval. Last minus first evening: from how well the skater’s own trials repeat; ice, blades and form of the day are not in its ±. Change in 30 days: from evenings, not from trials: value = level + change × date + evening + trial (REML), t with evenings − 2 degrees of freedom. “Can’t tell”: no change at all would fit as well.";

function eveningsWords(studies: SkaterJson["studies"]): string {
  const dated = studies.flatMap((s) => (s.date ? [s.date] : []));
  const names = studies.map((s) => s.study).join(", ");
  if (studies.length === 1) return `One evening: ${dated[0] ? `${dayText(dated[0])}, ` : ""}${names}.`;
  const from = dated[0] ? `, ${dayText(dated[0])} to ${dayText(dated.at(-1)!)}` : "";
  return `${studies.length} evenings${from}: ${names}.`;
}

function timeWords(q: Quantity): string {
  const { unit } = QUANTITY_WORDS[q.quantity];
  const best =
    q.best && q.evenings.length > 1
      ? ` Best evening: ${q.best.date ? dayText(q.best.date) : q.best.study}, ${mean(q.best, unit)}.`
      : "";
  return `${capital(trendWords(q, (value, u95) => plusMinus(value, u95, unit)))}${best}`;
}

/** "4.57 ± 0.06 s"; without ± where nothing tells it. */
function mean({ mean: value, u95 }: Quantity["evenings"][number], unit: string): string {
  if (u95 !== null) return plusMinus(value, u95, unit);
  return withUnit(formatNumber(value, placesOf([value], unit, 2)), unit);
}

/** One row a quantity and technique. */
function changes(quantities: readonly Quantity[]): Markup {
  return tableOf(
    "From the first evening to the last",
    [
      "quantity",
      oneLine("technique"),
      right("one trial is good to (SD)"),
      right("last minus first ± 95 %"),
      right("in 30 days ± 95 %"),
      "can it be told?",
    ],
    quantities.map((q) => {
      const { name, unit } = QUANTITY_WORDS[q.quantity];
      const { typical_error: error, since, trend } = q;
      return [
        name,
        q.technique,
        error.value === null
          ? "no repeats"
          : withUnit(formatNumber(error.value, placesFor(error.value)), unit),
        since.value === null ? "–" : plusMinus(since.value, since.u95, unit),
        trend.value === null ? "–" : plusMinus(trend.value, trend.u95, unit),
        changeWords(q),
      ];
    }),
  );
}

/** Why a change can't be told where nothing gives it, each reason once. */
function reasons(quantities: readonly Quantity[]): Markup | null {
  const unknown = quantities.flatMap((q) => (q.trend.value === null ? [{ q, why: q.trend.why }] : []));
  return list(
    [...new Set(unknown.map((u) => u.why))].map((why) => {
      const of = unknown
        .filter((u) => u.why === why)
        .map(({ q }) => `${QUANTITY_WORDS[q.quantity].name}, ${q.technique}`);
      return of.length === quantities.length ? why : `${why} (${of.join("; ")})`;
    }),
  );
}

/** One quantity: evenings below each other, techniques beside each other. */
function byEvening(of: readonly Quantity[]): Markup {
  const { name, unit } = QUANTITY_WORDS[of[0]!.quantity];
  const all = of.flatMap((q) => q.evenings);
  const places = placesOf(
    all.map((e) => e.mean),
    unit,
    2,
  );
  const shown = (v: number | null | undefined) =>
    v === null || v === undefined ? "–" : formatNumber(v, places);
  const sides = all.some((e) => e.left !== null);
  const heads = of.flatMap((q) => [
    right(q.technique),
    ...(sides ? [right("left"), right("right")] : []),
    right("trials"),
  ]);
  const evenings = [...new Map(all.map((e) => [e.study, e] as const)).values()].sort((x, y) =>
    (x.date ?? "9999").localeCompare(y.date ?? "9999"),
  );
  const rows = evenings.map(({ study, date }) => [
    date ? `${dayText(date)}, ${study}` : study,
    ...of.flatMap((q) => {
      const own = q.evenings.find((e) => e.study === study);
      const value =
        own === undefined ? "–" : own.u95 === null ? shown(own.mean) : plusMinus(own.mean, own.u95, "");
      return [value, ...(sides ? [shown(own?.left), shown(own?.right)] : []), own ? `${own.n}` : "0"];
    }),
  ]);
  const bare = of.some((q) => q.typical_error.value === null);
  return tableOf(
    `${capital(name)}, ${unit}${bare ? " (no ± where no evening has repeats)" : ""}`,
    ["evening", ...heads],
    rows,
  );
}
