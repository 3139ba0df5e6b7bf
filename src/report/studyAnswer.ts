import { comparedTechniques, compareStudy } from "../compare/compareStudy.ts";
import { capital, countOf, countWord } from "../compare/numbers.ts";
import { meanWords, type PlainWords, plainWords } from "../compare/plainWords.ts";
import type { Comparison } from "../compare/types.ts";
import type { CompareQuantity } from "../quantities/compared.ts";
import type { Warning } from "../reading.ts";
import { type Names, trialLabel } from "../study/labels.ts";
import type { Study, Technique, WholeStudy } from "../study/types.ts";
import { CONTRADICTS, countedReadings } from "../trials/countedReadings.ts";
import { type ReadingOf, type TechniqueCheck, techniqueCheck } from "../trials/techniqueCheck.ts";

export interface StudyAnswer {
  readonly a: Technique;
  readonly b: Technique;
  readonly all: Comparison;
  readonly words: PlainWords;
  readonly check: TechniqueCheck;
  /** Without the trials that were not as asked; null when there are none of those. */
  readonly asAskedOnly: Comparison | null;
  /** "One trial did not show …"; null when every trial that can be judged was as asked. */
  readonly notAsAsked: string | null;
  /** "The clip of one timed trial does not fit its time …"; null where time is not compared or every clip fits. */
  readonly doubtedTimes: string | null;
  /** Warnings that the sentences do not say already. */
  readonly worthKnowing: readonly Warning[];
  /** How many trials cannot be judged; null when all can. */
  readonly cantTell: string | null;
}

/** Warnings whose content is in the plain words. */
export const SAID: ReadonlySet<string> = new Set(["no-pairs", "one-skater", "few-skaters", "tests-disagree"]);

/** Everything Compare and the report say of two techniques. Null when the study has fewer than two. */
export function studyAnswer(
  whole: WholeStudy,
  quantity: CompareQuantity,
  names: Names,
  readings: ReadingOf,
): StudyAnswer | null {
  const { study } = whole;
  const readingOf = countedReadings(whole, readings);
  const two = comparedTechniques(study);
  if (!two) return null;
  const meanOf = (trial: string) => {
    const reading = readingOf(trial);
    if (!reading.ok || quantity === "time_s") return null;
    const mean = reading.value.trial[quantity];
    return "why" in mean ? null : mean.mean;
  };
  const check = techniqueCheck(study, two, names, readingOf);
  const all = compareStudy(study, { quantity, meanOf, names });
  const wrong = check.trials.filter((t) => t.asked.answer === "no").map((t) => t.trial.id);
  const open = check.trials.filter((t) => t.asked.answer === "can't tell").length;
  const left = (without: readonly string[]) =>
    without.length === 0 ? null : compareStudy(study, { quantity, meanOf, names, without: new Set(without) });
  const asAskedOnly = left(wrong);
  const doubted = check.trials.map(({ trial }) => trial.id).filter((id) => isDoubted(readingOf(id)));
  const fitting = quantity === "time_s" ? left(doubted) : null;
  return {
    ...two,
    all,
    words: plainWords(all),
    check,
    asAskedOnly,
    worthKnowing: all.warnings.filter((w) => !SAID.has(w.code)),
    notAsAsked: asAskedOnly && notAsAskedWords(study, wrong, names, asAskedOnly),
    doubtedTimes: fitting && doubtedWords(study, doubted, names, fitting),
    cantTell:
      open === 0 || check.trials.every((t) => !check[t.which].band)
        ? null
        : open === check.trials.length
          ? "No trial can be judged against what was asked yet."
          : `${capital(countOf(open, check.trials.length))} trials can’t be judged against what was asked.`,
  };
}

function isDoubted(reading: ReturnType<ReadingOf>): boolean {
  return !reading.ok && reading.error.code === CONTRADICTS;
}

function notAsAskedWords(study: Study, wrong: readonly string[], names: Names, without: Comparison): string {
  const subject = wrong.length === 1 ? "trial" : "trials";
  return `${capital(countWord(wrong.length))} ${subject} did not show the technique asked for (${labels(study, wrong, names)}). ${leftWords(wrong, without)}`;
}

function doubtedWords(study: Study, doubted: readonly string[], names: Names, without: Comparison): string {
  const which = labels(study, doubted, names);
  const subject =
    doubted.length === 1
      ? `The clip of one timed trial does not fit its time (${which}): one of the two may be another trial's.`
      : `The clips of ${countWord(doubted.length)} timed trials do not fit their times (${which}): clip or time may be another trial's.`;
  return `${subject} ${leftWords(doubted, without)}`;
}

function labels(study: Study, trials: readonly string[], names: Names): string {
  return trials.map((id) => trialLabel(study, id, names)).join("; ");
}

function leftWords(left: readonly string[], without: Comparison): string {
  const skaters = `${countWord(without.n)} ${without.n === 1 ? "skater" : "skaters"}`;
  const rest =
    without.n === 0
      ? "nobody is left to compare"
      : `${meanWords(without) ?? "too little is left to compare"}, ${skaters}`;
  return `Without ${left.length === 1 ? "it" : "them"}: ${rest}.`;
}
