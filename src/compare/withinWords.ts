import { entryOf, type TrialQuantity } from "../quantities/catalogue.ts";
import type { OrWhy } from "../reading.ts";
import { formatNumber, placesFor, withUnit } from "../uncertainty/format.ts";
import { countWord, plusMinus } from "./numbers.ts";
import type { WithinSkater } from "./withinSkater.ts";
import type { WithinTechnique } from "./withinTechnique.ts";

/**
 * What 10 cm are worth: "Within a skater, 10 cm more stride width went with 0.048 ± 0.027 s less time".
 * No direction is claimed where the interval holds 0, and never a cause.
 */
export function withinWords(line: OrWhy<WithinSkater>, measure: TrialQuantity): string[] {
  const { name, step } = entryOf(measure);
  if (line.value === null) return [`Time against ${name}: ${line.why}`];
  const { by, words } = step;
  const [low, high] = [by * line.ci95[0], by * line.ci95[1]];
  const u95 = (high - low) / 2;
  const basis = `(${countWord(line.skaters)} ${line.skaters === 1 ? "skater" : "skaters"}, ${countWord(line.means)} means${beyond(line, by, measure)})`;
  const caution =
    line.means === 2 * line.skaters
      ? `With two techniques this is the same difference in other units, no second proof that ${name} makes it. One technique skated at three sizes of it would tell more.`
      : "That they go together does not prove that one makes the other: the techniques differ in more than this.";
  const size = by * line.value;
  if (low > 0 || high < 0) {
    return [
      `Within a skater, ${words} went with ${plusMinus(Math.abs(size), u95, "s")} ${size < 0 ? "less" : "more"} time ${basis}.`,
      caution,
    ];
  }
  const places = placesFor(u95);
  return [
    `Within a skater, ${words} went with anything from ${fromTo(low, high, places)} ${basis}: no relation can be told.`,
    caution,
  ];
}

/** Where the sentence reckons with more than anybody showed. */
function beyond({ span }: WithinSkater, by: number, measure: TrialQuantity): string {
  if (by <= span[1]) return "";
  const { unit } = entryOf(measure);
  const end = (v: number) => formatNumber(v, placesFor(v));
  return `, whose own differed by ${end(span[0])} to ${withUnit(end(span[1]), unit)} only`;
}

/** "0.12 s less to 0.03 s more time" */
function fromTo(low: number, high: number, places: number): string {
  const end = (v: number) => withUnit(formatNumber(Math.abs(v), places), "s");
  return `${end(low)} less to ${end(high)} more time`;
}

/** The same among repeats of one technique, which the difference of techniques cannot pass for. */
export function withinTechniqueWords(line: OrWhy<WithinTechnique>, measure: TrialQuantity): string {
  const { name, step } = entryOf(measure);
  const among = "Among a skater’s trials of one technique";
  if (line.value === null) return `${among} nothing can be said of time against ${name}: ${line.why}`;
  const [low, high] = [step.by * line.ci95[0], step.by * line.ci95[1]];
  const [u95, size] = [(high - low) / 2, step.by * line.value];
  const basis = `(${line.trials} trials)`;
  return low > 0 || high < 0
    ? `${among} ${step.words} went with ${plusMinus(Math.abs(size), u95, "s")} ${size < 0 ? "less" : "more"} time ${basis}; what else changed through the day may be part of it.`
    : `${among} ${step.words} went with anything from ${fromTo(low, high, placesFor(u95))} ${basis}: no relation can be told.`;
}
