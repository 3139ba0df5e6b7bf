import { QUANTITY_WORDS } from "../quantities/compared.ts";
import { capital } from "../words.ts";
import { countOf, countWord, listed, plusMinus, rangeText, sizeText } from "./numbers.ts";
import { leadOf } from "./orderJudgement.ts";
import type { Comparison, Pair } from "./types.ts";

/** Differences below this are no difference: times are decimal, their means binary. */
const NOTHING = 1e-9;

/** Which technique and by how much, in one or two sentences: the strongest that the numbers carry. */
export function headline(c: Comparison): string {
  const { unit } = QUANTITY_WORDS[c.quantity];
  const [only] = c.pairs;
  if (c.conclusion === "nobody" || !only) return "Nobody can be compared yet.";
  if (c.conclusion === "one skater") return oneSkater(c, only);
  if (c.conclusion === "order") return orderFirst(c);
  if (c.conclusion === "depends") return depends(c);
  const mean = c.meanDifference.value ?? 0;
  if (c.conclusion === "alike" && c.general.value !== null && c.smallestWorthwhile.value !== null) {
    const said = sizeText(c.smallestWorthwhile.value, unit);
    return `Neither is ${better(c)} by an amount that matters: ${plusMinus(Math.abs(mean), c.general.u95, unit)} apart on average, less than the ${said} that matters.`;
  }
  if (Math.abs(mean) <= NOTHING) {
    return c.pairs.every((p) => Math.abs(p.difference) <= NOTHING)
      ? `${everyone(c.n)} ${same(c)}.`
      : `On average there is no difference${mixed(c)}.`;
  }
  if (c.conclusion === "open")
    return `It can’t be told yet which is ${better(c)}: ${inFront(c, mean)} by ${average(c)} on average${mixed(c)}.`;
  const small = tooSmallToMatter(c);
  if (small) {
    const size = plusMinus(Math.abs(small.value), small.u95, unit);
    return `${capital(ahead(c, mean))}, but by too little to matter: ${size} on average, less than the ${sizeText(small.worth, unit)} that matters.`;
  }
  return `${capital(ahead(c, mean))}, by ${average(c)} on average${agreeing(c, mean)}.`;
}

/** What is claimed of a difference, where all of it is less than somebody said would matter; else null. */
export function tooSmallToMatter(c: Comparison): { value: number; u95: number; worth: number } | null {
  const { smallestWorthwhile: worth, general, these } = c;
  if (worth.value === null || worth.from !== "said") return null;
  const of = c.conclusion === "settled" ? general : c.conclusion === "these" ? these : null;
  if (!of || of.value === null || Math.abs(of.value) + of.u95 >= worth.value) return null;
  return { value: of.value, u95: of.u95, worth: worth.value };
}

/** The least that is claimed of a difference, and of whom; null where its interval is not known. */
export function lowEnd(c: Comparison): { low: number; u95: number; of: "these" | "general" } | null {
  const of = c.conclusion === "these" || c.general.value === null ? "these" : "general";
  const had = c[of];
  return had.value === null ? null : { low: Math.abs(had.value) - had.u95, u95: had.u95, of };
}

/** "open recovery was faster"; "stride width was larger with open recovery" */
function ahead(c: Comparison, difference: number): string {
  const { name, more, less } = QUANTITY_WORDS[c.quantity];
  if (c.quantity === "time_s") return `${difference < 0 ? c.b : c.a} was faster`;
  return `${name} was ${difference < 0 ? less : more} with ${c.b}`;
}

/** The same where it may be chance: "open recovery was ahead" */
function inFront(c: Comparison, difference: number): string {
  return c.quantity === "time_s" ? `${difference < 0 ? c.b : c.a} was ahead` : ahead(c, difference);
}

function better(c: Comparison): string {
  return c.quantity === "time_s"
    ? "faster"
    : `${QUANTITY_WORDS[c.quantity].more} in ${QUANTITY_WORDS[c.quantity].name}`;
}

function same(c: Comparison): string {
  return c.quantity === "time_s"
    ? `skated ${c.a} and ${c.b} in the same time`
    : `had the same ${QUANTITY_WORDS[c.quantity].name} with ${c.a} and ${c.b}`;
}

function everyone(n: number): string {
  return n === 2 ? "Both" : `All ${countWord(n)}`;
}

/** The mean alone: its ± stand in the sentences that say of whom they are. */
function average(c: Comparison): string {
  const { unit } = QUANTITY_WORDS[c.quantity];
  const size = Math.abs(c.meanDifference.value ?? 0);
  return sizeText(size, unit);
}

/** " for all five (0.05 to 0.20 s)"; with its opposite where skaters disagree. */
function agreeing(c: Comparison, mean: number): string {
  const { unit } = QUANTITY_WORDS[c.quantity];
  const sizes = c.pairs.map((p) => p.difference * Math.sign(mean));
  if (sizes.every((d) => d > NOTHING)) {
    return ` (${c.n === 2 ? "both" : `all ${countWord(c.n)}`}, ${rangeText(Math.min(...sizes), Math.max(...sizes), unit)})`;
  }
  return mixed(c);
}

/** "; three of five faster with it, one slower, one the same" */
function mixed(c: Comparison): string {
  const mean = c.meanDifference.value ?? 0;
  const sign = mean <= 0 ? -1 : 1;
  const count = (test: (d: number) => boolean) => c.pairs.filter((p) => test(p.difference * sign)).length;
  const [along, against] = [count((d) => d > NOTHING), count((d) => d < -NOTHING)];
  const { more, less } = QUANTITY_WORDS[c.quantity];
  // Time is told of the technique that was faster, measures of b.
  const [with1, against1] =
    c.quantity === "time_s" ? ["faster", "slower"] : sign < 0 ? [less, more] : [more, less];
  const it = c.quantity === "time_s" ? (sign < 0 ? c.b : c.a) : c.b;
  const rest = c.n - along - against;
  const some = (k: number) => (k < c.n ? countOf(k, c.n) : c.n === 2 ? "both" : `all ${countWord(k)}`);
  return `; ${[
    ...(along > 0 ? [`${some(along)} ${with1} with ${it}`] : []),
    ...(against > 0
      ? [along > 0 ? `${countWord(against)} ${against1}` : `${some(against)} ${against1} with ${it}`]
      : []),
    ...(rest > 0 ? [`${countWord(rest)} the same`] : []),
  ].join(", ")}`;
}

/** Of one skater: clear; too small; which way but not whether it matters; or neither. */
function oneSkater(c: Comparison, pair: Pair): string {
  const { unit, name, more, less } = QUANTITY_WORDS[c.quantity];
  if (Math.abs(pair.difference) <= NOTHING) return `${pair.skater} ${same(c)}.`;
  const size = Math.abs(pair.difference);
  const by = pair.u95.value ? plusMinus(size, pair.u95.value, unit) : rangeText(size, size, unit);
  const timed = c.quantity === "time_s";
  const which = pair.difference < 0 ? c.b : c.a;
  const way = pair.difference < 0 ? less : more;
  if (pair.verdict !== "can't tell")
    return timed
      ? `${pair.skater} was faster with ${which}, by ${by}.`
      : `${pair.skater} had a ${way} ${name} with ${c.b}, by ${by}.`;
  const leads = timed ? `${which} was ahead` : `${name} was ${way} with ${c.b}`;
  const worth = c.smallestWorthwhile;
  const matter = worth.value === null ? "" : sizeText(worth.value, unit);
  if (pair.settles === "not worth it")
    return `For ${pair.skater} neither is ${better(c)} by an amount that matters: ${by} apart, less than the ${matter} that matters.`;
  return pair.oneSide
    ? `It can’t be told yet whether it matters for ${pair.skater}: ${leads} by ${by}, and ${matter} would matter.`
    : `It can’t be told yet which is ${better(c)} for ${pair.skater}: ${leads} by ${by}.`;
}

/** Order and technique are the same thing: that comes first, then the difference as it stands and without a steady change. */
function orderFirst(c: Comparison): string {
  const { unit } = QUANTITY_WORDS[c.quantity];
  const mean = c.meanDifference.value ?? 0;
  const later = c.order.bLaterBy > 0 ? c.b : c.a;
  const { steady } = c.order;
  const how = c.pairs.every((p) => Math.abs(leadOf({ a: p.trialsA, b: p.trialsB })) === 1)
    ? "always"
    : "mostly";
  const skated = `${later} was ${how} skated later`;
  if (steady.value === null) {
    return `It can’t be told which is ${better(c)}: ${skated}, so warming up or tiring can pass for the difference (${ahead(c, mean)} by ${average(c)}).`;
  }
  const nothing = Math.abs(steady.value) <= steady.u95;
  const timed = c.quantity === "time_s";
  const first = timed && later === (mean < 0 ? c.b : c.a) ? "it was faster" : ahead(c, mean);
  const along = steady.value * mean > 0;
  const { more, less } = QUANTITY_WORDS[c.quantity];
  const other = timed ? "slower " : `${steady.value < 0 ? less : more} `;
  const left = `${along ? "" : other}by ${plusMinus(Math.abs(steady.value), steady.u95, unit)}`;
  return `It can’t be told ${nothing ? "" : "for certain "}which is ${better(c)}: ${skated}. As it stands ${first} by ${average(c)}; with a steady change from trial to trial taken out, ${left}${nothing ? ", which may be nothing" : ""}.`;
}

/** "It depends on the skater: Ada and Bo were faster with …, Dana slower …" */
function depends(c: Comparison): string {
  const { unit, name, more, less } = QUANTITY_WORDS[c.quantity];
  const group = (verdicts: readonly string[], word: string) => {
    const own = c.pairs.filter((p) => verdicts.includes(p.verdict));
    const sizes = own.map((p) => Math.abs(p.difference));
    const by = rangeText(Math.min(...sizes), Math.max(...sizes), unit);
    const who =
      own.length > 4 ? `${countWord(own.length)} of ${countWord(c.n)}` : listed(own.map((p) => p.skater));
    const verb =
      c.quantity === "time_s" ? `${own.length === 1 ? "was" : "were"} ${word}` : `had a ${word} ${name}`;
    return `${who} ${verb} with ${c.b} (${by})`;
  };
  const [low, high] = c.quantity === "time_s" ? ["faster", "slower"] : [less, more];
  return capital(
    `it depends on the skater: ${group(["faster", "less"], low!)}, ${group(["slower", "more"], high!)}, each beyond their own scatter.`,
  );
}
