import { countWord } from "../compare/numbers.ts";
import type { Comparison } from "../compare/types.ts";
import { mdc95, typicalError } from "../compare/typicalError.ts";
import { mean } from "../statistics/mean.ts";
import { type Names, skaterLabels, techniqueLabels } from "../study/labels.ts";
import type { Study } from "../study/types.ts";
import { alignedTime, timePlaces } from "../trials/readTime.ts";
import { formatNumber, withUnit } from "../uncertainty/format.ts";
import { capital } from "../words.ts";

/** What a study of one technique says: there is nothing to compare, but its times repeat well or badly. */
export interface OneTechnique {
  readonly headline: string;
  readonly support: readonly string[];
  /** Skater, mean, best, all times in the order skated. */
  readonly rows: readonly (readonly [string, string, string, string])[];
}

/** Null where the study has another number of techniques, or none of its trials a time. */
export function oneTechnique(study: Study, names: Names): OneTechnique | null {
  const [technique] = study.techniques;
  if (!technique || study.techniques.length > 1) return null;
  const label = techniqueLabels(study).get(technique.id) ?? technique.id;
  const called = skaterLabels(study, names);
  const timed = study.trials
    .filter((t) => t.valid && t.time !== null && t.technique === technique.id)
    .sort((x, y) => x.order - y.order)
    .map((t) => ({ ...t, seconds: t.time!, who: called.get(t.skater) ?? t.skater }));
  if (timed.length === 0) return null;
  const places = timePlaces(timed.map((t) => t.time));
  const skaters = [...new Set(timed.map((t) => t.who))].map((who) => {
    const times = timed.filter((t) => t.who === who).map((t) => t.seconds);
    return { who, times, mean: mean(times) };
  });
  const best = timed.reduce((x, y) => (y.seconds < x.seconds ? y : x));
  const number = skaters.length === 1 ? "one skater" : `${countWord(skaters.length)} skaters`;
  const middle = formatNumber(mean(skaters.map((s) => s.mean)), places + 1);
  return {
    headline: `${capital(label)}: ${withUnit(middle, "s")} on average over ${number}; the best ${withUnit(alignedTime(best.seconds, places), "s")}, by ${best.who}.`,
    support: [
      repeatWords(typicalError(skaters.map((s) => s.times))),
      "Next: name a second technique in Plan, to compare with.",
    ],
    rows: skaters.map(({ who, times, mean: own }) => [
      who,
      formatNumber(own, places + 1),
      alignedTime(Math.min(...times), places),
      times.map((t) => alignedTime(t, places)).join(" "),
    ]),
  };
}

function repeatWords(error: Comparison["typicalError"]): string {
  if (error.value === null) return "How well a trial repeats is not known: nobody repeated it.";
  const size = (v: number) => withUnit(formatNumber(v, 3), "s");
  return `From trial to trial a skater’s time scatters by ${size(error.value)} (typical error): two single trials less than ${size(mdc95(error.value))} apart may be alike.`;
}
