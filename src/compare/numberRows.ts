import { QUANTITY_WORDS } from "../quantities/compared.ts";
import type { OrWhy } from "../reading.ts";
import { formatNumber, placesFor, withUnit } from "../uncertainty/format.ts";
import { capital } from "../words.ts";
import type { Estimate } from "./estimate.ts";
import { estimateText, intervalOf, plainEstimate, sizedWith } from "./estimateText.ts";
import { intervalText, plusMinus, pText, sizeText } from "./numbers.ts";
import type { Comparison } from "./types.ts";
import { shownError } from "./typicalError.ts";

export interface NumberRow {
  readonly label: string;
  readonly text: string;
  /** False: `text` says why there is no number. */
  readonly isKnown: boolean;
  /** One line for people who do not know it. */
  readonly meaning: string;
}

/** The numbers under the sentence, in the order one reads them. Differences are b minus a. */
export function numberRows(c: Comparison): NumberRow[] {
  return [...meanRows(c), ...testRows(c), ...sizeRows(c), ...modelRows(c), ...scatterRows(c)];
}

function row<T extends { readonly value: unknown }>(
  label: string,
  meaning: string,
  of: OrWhy<T>,
  text: (of: T) => string,
): NumberRow {
  return "why" in of
    ? { label, meaning, text: of.why, isKnown: false }
    : { label, meaning, text: text(of), isKnown: true };
}

/** The difference itself. */
function meanRows(c: Comparison): NumberRow[] {
  const { unit, less, more } = QUANTITY_WORDS[c.quantity];
  return [
    row(
      "Mean difference, 95 % interval",
      `${capital(c.b)} minus ${c.a}, mean over skaters; ${whence(c, unit)}.`,
      neverNarrower(c),
      (e) => `${estimateText(e, unit)}${direction(e, less, more)}`,
    ),
    row("Smallest and largest difference", "Of one skater.", c.range, (r) => intervalOf(r.value, unit)),
    row("SD of differences", "How much the skaters' differences scatter around their mean.", c.sd, (s) =>
      sizeText(s.value, unit, 3),
    ),
  ];
}

/** What tests make of it. */
function testRows(c: Comparison): NumberRow[] {
  const { unit } = QUANTITY_WORDS[c.quantity];
  return [
    row(
      c.df.value === null ? "t" : `t, ${c.df.value} ${c.df.value === 1 ? "degree" : "degrees"} of freedom`,
      "Mean difference in its own standard errors. p: how often chance alone would go this far if the techniques made no difference and differences were normally spread.",
      c.t,
      (t) => `${formatNumber(t.value, 2)}${c.pT.value === null ? "" : `, ${pText(c.pT.value)}`}`,
    ),
    row(
      "Sign-flip, exact",
      "p again, without assuming any spread: the share of all ways to swap the two techniques' names within skaters that go this far.",
      c.pSignFlip,
      (p) => signFlipText(p.value, c.smallestPSignFlip.value, c.n),
    ),
    row(
      "Signed rank (Wilcoxon), exact",
      "p once more, from the order of the differences' sizes: one wild difference counts no more than its rank.",
      c.signedRank,
      (w) => `V = ${w.value}, from ${w.n} ${w.n === 1 ? "difference" : "differences"}, ${pText(w.p)}`,
    ),
    row(
      "Middle difference (Hodges-Lehmann)",
      "The median of all means of two differences, with the interval that belongs to the signed rank.",
      c.hodgesLehmann,
      (h) =>
        h.interval.value === null
          ? `${sizeText(h.value, unit, 3)}, without an interval: ${h.interval.why}`
          : `${sizedWith(unit, h.value, h.interval.value)} (${intervalOf(h.interval.value, unit)}, ${formatNumber(100 * h.interval.level, 1)} %)`,
    ),
  ];
}

/** How large it is beside the skaters' scatter, and whether it is small enough to be none. */
function sizeRows(c: Comparison): NumberRow[] {
  const { unit } = QUANTITY_WORDS[c.quantity];
  return [
    row(
      "Effect size d_z, 95 % interval",
      "Mean difference in SDs of the skaters' differences. Its size depends on how alike the skaters are.",
      c.dZ,
      plainEstimate,
    ),
    row(
      "Effect size corrected for few skaters, g_z",
      "Few skaters make d_z look too large.",
      c.gZ,
      plainEstimate,
    ),
    row(
      "Alike, within what matters?",
      "Two one-sided tests. Both p at most 0.05: the techniques differ by less than what matters, up or down.",
      c.equivalence,
      (e) =>
        `${e.value <= 0.05 ? "yes" : "not shown"}, ${pText(e.value)} (90 % interval ${intervalText(e.ci90, unit)}, bounds ± ${sizeText(e.bound, unit, 3)})`,
    ),
  ];
}

/** What the mixed models make of every trial. */
function modelRows(c: Comparison): NumberRow[] {
  const { unit } = QUANTITY_WORDS[c.quantity];
  return [
    row(
      "Mixed model on every trial",
      "Technique, with a skater's own level and own response to the technique (REML). It should tell the same story as the mean difference; with few repeats its interval is rather too wide.",
      c.model,
      (m) =>
        `${estimateText(m, unit)}, ${m.df} ${m.df === 1 ? "degree" : "degrees"} of freedom (cells minus skaters minus 1: containment), ${pText(m.p)}${pairingLost(m.sdSkater) ? "; it finds no spread between skaters and so forgets who is whose pair: go by the mean difference" : ""}`,
    ),
    row(
      "What scatters, in the mixed model",
      "SDs: between skaters; of how differently skaters respond to the technique; between repeats.",
      c.model,
      (m) =>
        `skaters ${pairingLost(m.sdSkater) ? "none found" : sizeText(m.sdSkater, unit, 3)}; response ${m.sdSkaterByTechnique === null ? "not to be told without repeats" : sizeText(m.sdSkaterByTechnique, unit, 3)}; repeats ${sizeText(m.sdTrial, unit, 3)}`,
    ),
    row(
      "Mixed model, order taken out",
      "The same, as if no skater changed steadily from one trial to the next.",
      c.modelWithPlace,
      (m) => estimateText(m, unit),
    ),
  ];
}

/** What one trial is good for, and what changed through the day. */
function scatterRows(c: Comparison): NumberRow[] {
  const { unit } = QUANTITY_WORDS[c.quantity];
  return [
    row(
      "Typical error of one trial",
      "How much one skater's repeats of the same technique scatter (SD, pooled over skaters).",
      shownError(c.typicalError),
      (e) =>
        `${sizedWith(unit, e.value, e.ci95)} (${intervalOf(e.ci95, unit)}, ${e.df} ${e.df === 1 ? "degree" : "degrees"} of freedom)`,
    ),
    row(
      "Detectable between two trials",
      "Two single trials of one skater must differ by more than this before it is more than scatter (MDC95).",
      c.mdc95Single,
      (m) => sizeText(m.value, unit, 3),
    ),
    row(
      "How differently skaters respond",
      "SD between skaters of the true difference, beyond what the scatter of their trials makes; 95 % interval.",
      c.response,
      (r) => respondText(r.value, r.ci95, unit),
    ),
    row(
      "Smallest worthwhile difference",
      c.smallestWorthwhile.value !== null && c.smallestWorthwhile.from === "said"
        ? "As said in Plan."
        : "0.2 of the SD between skaters, as nothing else was said in Plan.",
      c.smallestWorthwhile,
      (w) => sizeText(w.value, unit, 3),
    ),
    row(
      "Change from trial to trial",
      "From one of a skater's own trials to the next, whatever the technique: warming up, tiring, the ice.",
      c.orderEffect,
      (e) => estimateText(e, unit),
    ),
  ];
}

/** The mean with the wider of the t interval over skaters and what repeats allow; without an interval the mean alone. */
function neverNarrower({ meanDifference, general }: Comparison): Comparison["meanDifference"] {
  if (general.value === null) return meanDifference;
  const { value, u95 } = general;
  return { value, ci95: [value - u95, value + u95] };
}

function whence({ meanDifference: t, general }: Comparison, unit: string): string {
  if (general.value === null || general.from === "skaters" || t.value === null || "why" in t.ci95)
    return "the interval comes from how much skaters differ from each other";
  const u95 = (t.ci95[1] - t.ci95[0]) / 2;
  return `the interval comes from how well each repeats; that skaters came out more alike (t over skaters: ${plusMinus(t.value, u95, unit)}) is chance`;
}

/** Below this a spread is the end of the search's range, not a spread. */
function pairingLost(sdSkater: number): boolean {
  return sdSkater < 1e-4;
}

/** " faster", or nothing where it would be a claim: a mean that shows as 0. */
function direction({ value, ci95 }: Estimate, less: string, more: string): string {
  if ("why" in ci95) return "";
  const places = placesFor((ci95[1] - ci95[0]) / 2);
  if (Number(formatNumber(Math.abs(value), places)) === 0) return "";
  const way = value < 0 ? less : more;
  return ci95[0] > 0 || ci95[1] < 0 ? ` ${way}` : ` ${way}, or either way`;
}

/** "0.119 s (0.080 to 0.184 s)"; where it shows as nothing, only how much it may be. */
function respondText(value: number, [low, high]: readonly [number, number], unit: string): string {
  if (high === 0) return "none: the differences scatter less than the trials alone would make them";
  const places = placesFor((high - low) / 2);
  const shown = (v: number) => formatNumber(v, places);
  if (Number(shown(value)) === 0) return `none found; at most ${withUnit(shown(high), unit)}`;
  const from = Number(shown(low)) === 0 ? "0" : shown(low);
  return `${withUnit(shown(value), unit)} (${withUnit(`${from} to ${shown(high)}`, unit)})`;
}

function signFlipText(p: number, smallest: number | null, n: number): string {
  if (smallest === null) return pText(p);
  const same = p <= smallest * (1 + 1e-9);
  const skaters = n === 1 ? "one skater" : `${n} skaters`;
  return same
    ? `${pText(p)}, the smallest ${skaters} can give`
    : `${pText(p)} (smallest ${skaters} can give: ${smallestText(smallest)})`;
}

/** "0.0078", "0.0000019", "less than 0.000001" */
function smallestText(smallest: number): string {
  if (smallest < 1e-6) return "less than 0.000001";
  return formatNumber(smallest, 1 - Math.floor(Math.log10(smallest)));
}
