import { placesOf } from "../../compare/numbers.ts";
import { type SkaterQuantity, trendWords } from "../../pool/skaterSeason.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { dayText } from "../../study/lockedPlan.ts";
import { formatNumber, withUnit } from "../../uncertainty/format.ts";
import { capital } from "../../words.ts";
import { html, type Markup, tableOf } from "./markup.ts";

/** A skater's season to print: every quantity evening by evening, what changed and whether that can be told. */
export function skaterSeasonPage(code: string, found: readonly SkaterQuantity[]): Markup {
  return html`<section class="page skater" aria-label="${code}"><h1>${code} through the season</h1>${found.map(quantityPart)}<p class="quiet">Trials of an evening are averaged. Typical error: SD of her repeats within an evening. A change through the season rests on evenings, not on trials: value = level + change × date + evening + trial (REML), t with evenings − 2 degrees of freedom. Since the first evening: from her repeats alone; ice, blades and day are not in its ±.</p></section>`;
}

function quantityPart(found: SkaterQuantity): Markup {
  const { quantity, technique, evenings, typicalError: error, since, best } = found;
  const { name, unit } = QUANTITY_WORDS[quantity];
  const places = placesOf(
    evenings.map((e) => e.mean),
    unit,
    2,
  );
  const shown = (v: number | null) => (v === null ? "–" : formatNumber(v, places));
  const sized = (v: number) => withUnit(formatNumber(v, places + 1), unit);
  const sides = evenings.some((e) => e.left !== null);
  const heads = ["evening", "trials", "mean", ...(sides ? ["left", "right"] : [])];
  const rows = evenings.map((e) => [
    `${e.date ? `${dayText(e.date)}, ` : ""}${e.study}`,
    `${e.n}`,
    shown(e.mean),
    ...(sides ? [shown(e.left), shown(e.right)] : []),
  ]);
  const words = [
    error.value === null
      ? error.why
      : `Typical error ${sized(error.value)} (${error.df} degrees of freedom).`,
    since.value === null
      ? since.why
      : `Last minus first evening: ${sized(since.value)} ± ${sized(since.u95)}.`,
    ...(best && evenings.length > 1
      ? [`Best evening: ${best.study}, ${withUnit(shown(best.mean), unit)}.`]
      : []),
  ];
  return html`<h2>${capital(name)}, ${technique}</h2><p class="headline">${capital(trendWords(found, sized))}</p>${tableOf(
    `${capital(name)}, ${unit}`,
    heads.map((text, k) => ({ text, right: k > 0 })),
    rows,
  )}<p>${words.join(" ")}</p>`;
}
