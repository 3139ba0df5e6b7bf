import { REPEATS_ALIKE } from "../compare/meanOfThese.ts";
import { countWord } from "../compare/numbers.ts";
import type { Comparison } from "../compare/types.ts";
import { mdc95, typicalError } from "../compare/typicalError.ts";
import { mean } from "../statistics/mean.ts";
import { type Names, skaterLabels, techniqueLabels } from "../study/labels.ts";
import type { TimedStudy } from "../study/timed.ts";
import { placesOfTimes, shownTime, spokenTime } from "../trials/shownTime.ts";
import { formatNumber, withUnit } from "../uncertainty/format.ts";

/** What a study of one technique says: there is nothing to compare, but its times repeat well or badly. */
export interface OneTechnique {
  readonly headline: string;
  readonly support: readonly string[];
  /** Skater, mean, best, all times in the order skated. */
  readonly rows: readonly (readonly [string, string, string, string])[];
}

/** Null where the study has another number of techniques, or none of its trials a time. */
export function oneTechnique(study: TimedStudy, names: Names): OneTechnique | null {
  const [technique] = study.techniques;
  if (!technique || study.techniques.length > 1) return null;
  const label = techniqueLabels(study).get(technique.id) ?? technique.id;
  const called = skaterLabels(study, names);
  const timed = study.trials
    .filter((t) => t.valid && t.time !== null && t.technique === technique.id)
    .sort((x, y) => x.order - y.order)
    .map((t) => ({ ...t, seconds: t.time!, who: called.get(t.skater) ?? t.skater }));
  if (timed.length === 0) return null;
  const places = placesOfTimes(timed);
  const skaters = [...new Set(timed.map((t) => t.who))].map((who) => {
    const own = timed.filter((t) => t.who === who);
    const times = own.map((t) => t.seconds);
    return { who, own, times, mean: mean(times) };
  });
  const best = timed.reduce((x, y) => (y.seconds < x.seconds ? y : x));
  const number = skaters.length === 1 ? "one skater" : `${countWord(skaters.length)} skaters`;
  const middle = formatNumber(mean(skaters.map((s) => s.mean)), places + 1);
  return {
    headline: `Nothing is compared yet: ${label} took ${withUnit(middle, "s")} on average over ${number}; the best ${spokenTime(best, places)}, by ${best.who}.`,
    support: [
      repeatWords(typicalError(skaters.map((s) => s.times))),
      "Next: name a second technique in Plan, to compare with.",
    ],
    rows: skaters.map(({ who, own, mean: middleOf }) => [
      who,
      formatNumber(middleOf, places + 1),
      shownTime(
        own.reduce((x, y) => (y.seconds < x.seconds ? y : x)),
        places,
      ),
      own.map((t) => shownTime(t, places)).join(own.some((t) => t.clipSd !== undefined) ? ", " : " "),
    ]),
  };
}

function repeatWords(error: Comparison["typicalError"]): string {
  if (error.value === null) return "How well a trial repeats is not known: nobody repeated it.";
  if (error.value === 0) return REPEATS_ALIKE;
  const size = (v: number) => withUnit(formatNumber(v, 3), "s");
  return `From trial to trial a skater’s time scatters by ${size(error.value)} (typical error): two single trials less than ${size(mdc95(error.value))} apart may be alike.`;
}
