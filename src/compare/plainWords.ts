import { QUANTITY_WORDS } from "../quantities/compared.ts";
import { formatNumber, placesFor, withUnit } from "../uncertainty/format.ts";
import { capital } from "../words.ts";
import { headline, lowEnd, tooSmallToMatter } from "./headlineWords.ts";
import { nextStep } from "./nextStep.ts";
import { countWord, listed, placesOf, plusMinus, sizeText } from "./numbers.ts";
import type { Comparison } from "./types.ts";

export interface PlainWords {
  /** Which technique, and by how much. */
  readonly headline: string;
  /** For these skaters, for skaters in general, whether it matters, what next: one or two sentences each. */
  readonly support: readonly string[];
  /** The one of them that can wait where room is short. */
  readonly canWait?: string;
  /** The trials were not of these techniques, whatever their times say. */
  readonly notTested?: boolean;
}

/**
 * The comparison as a coach reads it aloud: which, for whom, how sure, how much, what next. Never more than the
 * numbers; p and models stand with the numbers, not here.
 */
export function plainWords(c: Comparison): PlainWords {
  if (c.n === 0) {
    const why = leftOutWords(c);
    return {
      headline: headline(c),
      support: [`${capital(why || `there are no trials with ${c.a} and ${c.b}`)}.`, nextStep(c)].filter(
        (s) => s !== "",
      ),
    };
  }
  const canWait = matters(c);
  return {
    headline: headline(c),
    support: [forThese(c), inGeneral(c), canWait, nextStep(c)].filter((s) => s !== ""),
    canWait,
  };
}

/** "Ada and Bo have no usable trial with a; Cleo has …"; of more than four only how many. */
export function leftOutWords({ leftOut }: Pick<Comparison, "leftOut">): string {
  const whys = [...new Set(leftOut.map((s) => s.why))];
  return whys
    .map((why) => {
      const own = leftOut.filter((s) => s.why === why).map((s) => s.skater);
      const who = own.length > 4 ? `${countWord(own.length)} skaters` : listed(own);
      return `${who} ${own.length === 1 ? "has" : "have"} ${why}`;
    })
    .join("; ");
}

/** How sure it is of these skaters, whatever others would do. */
function forThese(c: Comparison): string {
  const { unit } = QUANTITY_WORDS[c.quantity];
  if (c.n === 1) return "";
  if (c.conclusion === "order") return "";
  const who = c.n === 2 ? "both" : `these ${countWord(c.n)}`;
  if (c.these.value === null) {
    return c.typicalError.value === null
      ? `For ${who} it is not known how sure this is: nobody repeated a technique.`
      : `For ${who} it is not known how sure this is: all repeats are exactly alike${hidden(c)}.`;
  }
  const size = plusMinus(Math.abs(c.these.value), c.these.u95, unit);
  const clear = Math.abs(c.these.value) > c.these.u95;
  if (c.conclusion === "depends") return "The average describes nobody.";
  if (!clear) return `For ${who} it is within the scatter of their trials (${size}).`;
  if (c.order.blocks)
    return c.conclusion === "settled"
      ? ""
      : `For ${who} alone it can’t be told: most skated one technique wholly before the other.`;
  if (c.conclusion === "open")
    return `For ${who} it would be clear (${size}), but not once a steady change through the day is taken out.`;
  return `Together ${who} make it clear (${size}, from how well each repeats)${oneByOne(c)}.`;
}

/** "; alone, only two of them do": of the whole group more can be said than of one skater. */
function oneByOne(c: Comparison): string {
  if (tooSmallToMatter(c)) return "";
  const sign = Math.sign(c.these.value ?? 0);
  const told = c.pairs.filter((p) => p.verdict !== "can't tell");
  const alone = told.filter((p) => p.difference * sign > 0).length;
  if (alone === c.n) return "; so does each alone";
  if (alone === 0) return c.n === 2 ? "; neither alone does" : "; no one alone does";
  const close = c.pairs.filter((p) => p.verdict === "can't tell").map((p) => p.skater);
  return alone === told.length && close.length <= 3
    ? `; alone, ${listed(close)} ${close.length === 1 ? "does" : "do"} not`
    : `; alone, only ${countWord(alone)} of them ${alone === 1 ? "does" : "do"}`;
}

/** Why repeats are exactly alike: of times it is the clock. */
export function hidden(c: Pick<Comparison, "quantity">): string {
  return c.quantity === "time_s" ? ", for a clock with so few digits hides the scatter" : "";
}

/** What it says of other skaters. */
function inGeneral(c: Comparison): string {
  const { unit } = QUANTITY_WORDS[c.quantity];
  if (c.n === 1) {
    return c.typicalError.value === null
      ? "One skater says nothing about others, and without repeats not even how sure it is."
      : "One skater says nothing about others.";
  }
  if (c.conclusion === "order" || c.conclusion === "depends") return "";
  const smallest = c.smallestPSignFlip.value ?? 1;
  const size =
    c.general.value === null ? "" : ` (${plusMinus(Math.abs(c.general.value), c.general.u95, unit)})`;
  if (smallest > 0.05) {
    const number = countWord(c.n);
    return `For other skaters ${number} are too few${size}: by chance ${c.n === 2 ? "both" : `all ${number}`} would agree in 1 study of ${2 ** (c.n - 1)}.`;
  }
  const p = Math.max(c.pSignFlip.value ?? 0, c.pT.value ?? 0);
  const often = oneIn(p);
  if (c.conclusion === "settled")
    return `For skaters like these${size}: chance alone would do this ${often}.`;
  if (c.conclusion === "alike") return `For skaters like these it is too small to matter${size}.`;
  if (p <= 0.05)
    return `For other skaters it is open${size}: the order of trials, or the scatter of repeats, leaves it so.`;
  return `For other skaters it is open${size}: chance alone would do this ${often}.`;
}

/** "in 1 study of 128" */
function oneIn(p: number): string {
  if (p < 1e-6) return "less than once in a million studies";
  if (p > 0.4) return "in every second study or more";
  return `in 1 study of ${formatNumber(Math.floor(1 / p + 1e-9), 0)}`;
}

/** Is it enough to matter? */
function matters(c: Comparison): string {
  const { unit } = QUANTITY_WORDS[c.quantity];
  const { smallestWorthwhile: worth } = c;
  const claimed = c.conclusion === "settled" || c.conclusion === "these";
  if (!claimed || worth.value === null || tooSmallToMatter(c)) return "";
  if (worth.from !== "said") {
    return c.quantity === "time_s" ? "Nobody has said how much would matter: say it in Plan." : "";
  }
  const matter = sizeText(worth.value, unit);
  const found = lowEnd(c);
  if (!found) return "";
  const { low, u95 } = found;
  const who = found.of === "general" ? "skaters like these" : c.n === 2 ? "both" : `these ${countWord(c.n)}`;
  const places = Math.max(placesFor(u95), placesOf([worth.value], unit));
  const end = (v: number) => withUnit(formatNumber(v, places), unit);
  if (low > worth.value)
    return `Even the low end for ${who}, ${end(low)}, is above the ${matter} that matters.`;
  return `It could be less than the ${matter} that matters.`;
}
