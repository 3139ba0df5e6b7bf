import { QUANTITY_WORDS } from "../quantities/compared.ts";
import type { Warning } from "../reading.ts";
import { formatNumber } from "../uncertainty/format.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import { capital } from "../words.ts";
import { plusMinus } from "./numbers.ts";
import { smallestSignFlipP } from "./signFlip.ts";
import type { CompareRow, Comparison } from "./types.ts";

/** What someone who reads only the numbers would miss. */
export function compareWarnings(c: Omit<Comparison, "warnings">, rows: readonly CompareRow[]): Warning[] {
  const warnings: Warning[] = [];
  const warn = (code: Warning["code"], text: string) => warnings.push({ code, text });
  const inEither = rows.filter((r) => r.technique === c.a || r.technique === c.b);

  if (c.n === 0) warn("no-pairs", `No skater has a usable value with both ${c.a} and ${c.b}.`);
  if (c.n === 1) warn("one-skater", "One skater says nothing about other skaters.");
  if (c.n > 1 && smallestSignFlipP(c.n) > 0.05) {
    warn(
      "few-skaters",
      `${c.n} skaters can't settle it alone: even if all agree, the sign-flip gives no less than p = ${Number(smallestSignFlipP(c.n).toPrecision(2))}. Six or more can.`,
    );
  }
  for (const { code, text } of clockWarnings(c)) warn(code, text);
  if (c.leftOut.length > 0) {
    warn("left-out", `Left out: ${c.leftOut.map((s) => `${s.skater} (${s.why})`).join("; ")}.`);
  }
  const voided = inEither.filter((r) => !r.valid).length;
  if (voided > 0) warn("void-trials", `${count(voided, "trial is", "trials are")} void and not used.`);
  const used = inEither.filter((r) => r.valid && !r.notAsAsked);
  const wrong = inEither.filter((r) => r.valid && r.notAsAsked).length;
  if (wrong > 0) warn("not-as-asked", `${count(wrong, "trial is", "trials are")} left out as not as asked.`);
  const missing = used.filter((r) => r.value === null).length;
  if (missing > 0)
    warn(
      "no-value",
      `${count(missing, "trial has", "trials have")} no ${QUANTITY_WORDS[c.quantity].name} and ${missing === 1 ? "is" : "are"} not used.`,
    );
  if (c.n > 0 && c.typicalError.value === null) warn("no-repeats", c.typicalError.why);
  if (c.typicalError.value !== null && c.typicalError.ci95 !== null && c.typicalError.df < 10) {
    warn(
      "rough-typical-error",
      `The typical error rests on ${count(c.typicalError.df, "degree", "degrees")} of freedom, so each skater's own interval is wide.`,
    );
  }
  const uneven = c.pairs.filter((p) => p.nA !== p.nB);
  if (uneven.length > 0) {
    warn(
      "uneven-repeats",
      `Not the same number of trials with both techniques: ${uneven.map((p) => p.skater).join(", ")}.`,
    );
  }
  if (c.bLaterBy.value !== null && Math.abs(c.bLaterBy.value) >= 0.5) {
    const [later, places] = [c.bLaterBy.value > 0 ? c.b : c.a, Math.abs(c.bLaterBy.value)];
    warn(
      "order-not-balanced",
      `${capital(later)} was skated later, by ${Number(places.toFixed(1))} of a skater's trials on average, so warming up or tiring can pass for a difference.`,
    );
  }
  const trend = orderTrend(c);
  if (trend !== null) warn("order-trend", trend);
  if (c.pT.value !== null && c.pSignFlip.value !== null && c.pT.value <= 0.05 !== c.pSignFlip.value <= 0.05) {
    warn(
      "tests-disagree",
      "The t test and the sign-flip fall on opposite sides of 0.05. Treat it as undecided.",
    );
  }
  return warnings;
}

/** By which clocks trials are timed, where clips time any, and what that leaves open. */
function clockWarnings({ clocks, a, b, these, general }: Omit<Comparison, "warnings">): Warning[] {
  const { byClip, byPhotocells, lean, offsetSd, sds } = clocks;
  if (sds === null) return [];
  const [least, largest] = sds.map((sd) => seconds3(K95 * sd));
  const each = least === largest ? `±\u00a0${largest} s` : `±\u00a0${least} to ${largest} s`;
  const all = byPhotocells === 0;
  const which = all
    ? `All ${byClip} trials are timed by their clips`
    : `${byClip} of ${byClip + byPhotocells} trials are timed by their clips, the others by photocells`;
  const said: Warning[] = [
    { code: "times-by-clips", text: `${which} (${each} each). That is part of every ± here.` },
  ];
  if (lean === 0 || (these.value === null && general.value === null)) return said;
  const [more, less] = lean > 0 ? [b, a] : [a, b];
  const shift = seconds3(K95 * offsetSd * Math.abs(lean));
  return [
    ...said,
    {
      code: "clip-times-lean",
      text: `More of ${more} than of ${less} is timed by clips. If clips and photocells differ alike everywhere, that could make ± ${shift} s of the mean difference; its ± holds that. Time both techniques alike.`,
    },
  ];
}

function seconds3(seconds: number): string {
  return formatNumber(seconds, 3);
}

/** A change from trial to trial that is more than scatter, and whether it can pass for a difference of techniques. */
function orderTrend(c: Omit<Comparison, "warnings">): string | null {
  if (c.orderEffect.value === null || "why" in c.orderEffect.ci95) return null;
  const [low, high] = c.orderEffect.ci95;
  if (low <= 0 && high >= 0) return null;
  const { unit, less, more } = QUANTITY_WORDS[c.quantity];
  const size = plusMinus(Math.abs(c.orderEffect.value), (high - low) / 2, unit);
  const changed = `From one of a skater's own trials to the next it became ${size} ${c.orderEffect.value < 0 ? less : more}.`;
  if (c.bLaterBy.value !== null && Math.abs(c.bLaterBy.value) < 0.05)
    return `${changed} The order was balanced, so this cancels in the mean difference.`;
  const model = c.modelWithPlace;
  if (model.value === null)
    return `${changed} The order was not balanced, so this can pass for a difference.`;
  const without = plusMinus(model.value, (model.ci95[1] - model.ci95[0]) / 2, unit);
  return `${changed} The order was not balanced; with a steady change taken out the difference is ${without}.`;
}

function count(n: number, one: string, many: string): string {
  return `${n} ${n === 1 ? one : many}`;
}
