import { differenceText } from "../../compare/estimateText.ts";
import { placesOf } from "../../compare/numbers.ts";
import type { Comparison, Pair } from "../../compare/types.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { formatNumber, withUnit } from "../../uncertainty/format.ts";
import { pairWords } from "./eachSkaterRows.ts";

/** The picture of each skater in words: first what it shows, then every row. */
export function eachSkaterLabel(c: Comparison): string {
  const { name, unit } = QUANTITY_WORDS[c.quantity];
  const places = placesOf(
    c.pairs.flatMap((p) => [p.a, p.b]),
    unit,
  );
  const rows = c.pairs.map(
    (p) =>
      `${p.skater}: ${c.a} ${withUnit(formatNumber(p.a, places), unit)}, ${c.b} ${withUnit(formatNumber(p.b, places), unit)}, difference ${differenceText(p.difference, p.u95, unit)}, ${pairWords(p)}`,
  );
  const clips = c.clocks.sds === null ? "" : ` ${c.clocks.byClip} trials are timed by their clips.`;
  return `${finding(c)} Each skater's mean ${name}. ${rows.join(". ")}.${clips}`;
}

/** "open minus close: faster for 3, can’t tell for 2; mean −0.12 ± 0.02 s for these skaters." */
function finding({ a, b, quantity, pairs, these, meanDifference: mean }: Comparison): string {
  const { unit } = QUANTITY_WORDS[quantity];
  const counts = new Map<string, number>();
  for (const p of pairs) counts.set(pairWords(p), (counts.get(pairWords(p)) ?? 0) + 1);
  const said = [...counts].map(([what, n]) => `${what} for ${n}`).join(", ");
  const size =
    pairs.length < 2 || mean.value === null
      ? ""
      : `; mean ${differenceText(mean.value, u95Of(these), unit)}${these.value === null ? "" : " for these skaters"}`;
  return `${b} minus ${a}: ${said}${size}.`;
}

function u95Of(these: Comparison["these"]): Pair["u95"] {
  return these.value === null ? these : { value: these.u95 };
}
