import type { CompareQuantity } from "../quantities/compared.ts";
import { QUANTITY_WORDS } from "../quantities/compared.ts";
import { formatNumber } from "../uncertainty/format.ts";
import type { ManyTechniques } from "./manyTechniques.ts";
import { countWord, plusMinus, pText } from "./numbers.ts";

/** More than two techniques in sentences: whether they differ at all, then which pairs. */
export function manyWords({ overall, pairs }: ManyTechniques, quantity: CompareQuantity): string[] {
  const { name, unit, more, less } = QUANTITY_WORDS[quantity];
  const first =
    overall.value === null
      ? overall.why
      : `Over all techniques together, ${name} ${overall.pCorrected <= 0.05 ? "differs more than chance would" : "does not differ more than chance could"} (${pText(overall.pCorrected)}, ${countWord(overall.n)} skaters with every technique).`;
  const found = pairs.filter((p) => p.pHolm.value !== null && p.pHolm.value <= 0.05);
  const each = found.map((p) => {
    const d = p.difference;
    if (d.value === null || "why" in d.ci95) return `${p.b} against ${p.a}`;
    const size = plusMinus(Math.abs(d.value), (d.ci95[1] - d.ci95[0]) / 2, unit);
    return `${p.b} ${size} ${d.value < 0 ? less : more} than ${p.a} (adjusted ${pText(p.pHolm.value ?? 1)})`;
  });
  const second =
    found.length === 0
      ? `No pair of them can be told apart once all ${formatNumber(pairs.length, 0)} pairs are looked at (Holm).`
      : `Told apart after allowing for ${formatNumber(pairs.length, 0)} looks (Holm): ${each.join("; ")}.`;
  const few =
    overall.value !== null && overall.n < 6
      ? [
          `Both take for granted how differences spread, which ${countWord(overall.n)} skaters cannot show: treat it as undecided.`,
        ]
      : [];
  return [first, second, ...few];
}
