import type { CompareQuantity } from "../quantities/compared.ts";
import { QUANTITY_WORDS } from "../quantities/compared.ts";
import { formatNumber } from "../uncertainty/format.ts";
import { capital } from "../words.ts";
import type { ManyTechniques } from "./manyTechniques.ts";
import { countWord, listed, plusMinus, pText, sizeText } from "./numbers.ts";

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
          `Both assume that differences follow a bell curve, which ${countWord(overall.n)} skaters cannot show: treat it as undecided.`,
        ]
      : [];
  return [first, second, ...few];
}

/**
 * Which of three or more techniques was fastest, and what it is ahead of: told apart where Holm's p is at most 0.05 over
 * six or more skaters. Null where no skater has them all, or the quantity is not a time.
 *
 * @param worth seconds that somebody said matter; null = nobody did
 */
export function fastestWords(
  many: ManyTechniques,
  worth: number | null,
): { readonly words: string; readonly clear: boolean; readonly next: string } | null {
  const { techniques, means, pairs, overall } = many;
  if (means.value === null) return null;
  const first = means.value.indexOf(Math.min(...means.value));
  const name = techniques[first]!;
  const against = pairs.flatMap((p) => {
    if ((p.a !== name && p.b !== name) || p.difference.value === null) return [];
    const lead = p.a === name ? p.difference.value : -p.difference.value;
    const clear = p.n >= 6 && p.pHolm.value !== null && p.pHolm.value <= 0.05 && lead > 0;
    return [{ other: p.a === name ? p.b : p.a, lead, clear, n: p.n }];
  });
  against.sort((x, y) => x.lead - y.lead);
  const little = (lead: number) => worth !== null && lead < worth - 1e-9;
  const each = (of: typeof against) =>
    of
      .map(({ other, lead }) => {
        const small = little(lead) ? ` (less than the ${sizeText(worth!, "s")} that matters)` : "";
        return `${sizeText(lead, "s")} ahead of ${other}${small}`;
      })
      .join(", ");
  const of = `${capital(name)} had the best mean time of all ${countWord(techniques.length)}`;
  const clear = against.filter((x) => x.clear);
  const looks = `allowing for ${countWord(pairs.length)} comparisons`;
  if (clear.length === 0) {
    const few = overall.value !== null && overall.n < 6 ? " by so few skaters" : "";
    return { words: `${of}, but ${looks} it can’t be told from any${few}.`, clear: false, next: "" };
  }
  const skaters = clear.map((x) => x.n);
  const [least, most] = [Math.min(...skaters), Math.max(...skaters)];
  const over = `${clear.length > 1 ? "each " : ""}more than chance over ${least < most ? "at least " : ""}${countWord(least)} skaters`;
  const open = against.filter((x) => !x.clear).map((x) => x.other);
  const rest = open.length > 0 ? `; it can’t be told from ${listed(open)}` : "";
  const near = clear.filter((x) => little(x.lead)).map((x) => x.other);
  return {
    words: `${of}: ${each(clear)}, ${over}, ${looks}${rest}.`,
    clear: true,
    next:
      open.length > 0
        ? `Next: time ${listed([name, ...open])} again; the rest fell behind.`
        : near.length > 0
          ? `Next: time ${listed([name, ...near])} again: is the lead worth it?`
          : `Next: coach ${name}, and time it again another day.`,
  };
}
