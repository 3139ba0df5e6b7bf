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
export const SAID: ReadonlySet<string> = new Set(["no-pairs", "one-skater", "few-skaters", "no-repeats"]);

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
    words: notTestedWords(check) ?? plainWords(all),
    check,
    asAskedOnly,
    worthKnowing: all.warnings.filter((w) => !SAID.has(w.code)),
    notAsAsked:
      asAskedOnly &&
      notAsAskedWords(study, wrong, names, asAskedOnly, {
        trials: check.trials.length - wrong.length,
        unmeasured: check.trials.filter((t) => "why" in t.mean && t.asked.answer !== "no").length,
      }),
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

/** Where nothing of one technique was as asked, the times are not of the techniques, whatever they say. */
function notTestedWords({ a, b, trials }: TechniqueCheck): PlainWords | null {
  const of = (which: "a" | "b") => {
    const judged = trials.filter((t) => t.which === which && !("why" in t.mean));
    const count = (answer: string) => judged.filter((t) => t.asked.answer === answer).length;
    return { judged: judged.length, missed: count("no") > 0 && count("yes") === 0 };
  };
  const [first, second] = [of("a"), of("b")];
  if (!first.missed && !second.missed) return null;
  const number =
    first.missed && second.missed ? first.judged + second.judged : (first.missed ? first : second).judged;
  const [none, trialsOf] =
    number === 1 ? ["The one measured trial", ""] : [`None of the ${countWord(number)} measured trials`, ""];
  const of1 = first.missed && second.missed ? trialsOf : ` of ${(first.missed ? a : b).technique.name}`;
  const shows = number === 1 ? "does not show what was asked" : "shows what was asked";
  return {
    headline: `${none}${of1} ${shows}, so this does not test ${a.technique.name} against ${b.technique.name} yet.`,
    support: ["The times are below."],
  };
}

function notAsAskedWords(
  study: Study,
  wrong: readonly string[],
  names: Names,
  without: Comparison,
  left: Left,
): string {
  const subject = wrong.length === 1 ? "trial" : "trials";
  return `${capital(countWord(wrong.length))} ${subject} did not show what was asked (${labels(study, wrong, names)}). ${leftWords(wrong, without, left)}`;
}

function doubtedWords(study: Study, doubted: readonly string[], names: Names, without: Comparison): string {
  const which = labels(study, doubted, names);
  const fit = doubted.length === 1 ? "its clip does not fit its time" : "their clips do not fit their times";
  return `Check ${which}: ${fit}. ${leftWords(doubted, without, null)}`;
}

function labels(study: Study, trials: readonly string[], names: Names): string {
  return trials.map((id) => trialLabel(study, id, names)).join("; ");
}

/** Trials that stay in, and how many of them nobody measured. */
interface Left {
  readonly trials: number;
  readonly unmeasured: number;
}

function leftWords(gone: readonly string[], without: Comparison, left: Left | null): string {
  const them = gone.length === 1 ? "it" : "them";
  if (left && left.unmeasured === left.trials && left.trials > 0)
    return `Without ${them} only unmeasured trials are left: nothing can be said.`;
  const skaters = `${countWord(without.n)} ${without.n === 1 ? "skater" : "skaters"}`;
  const rest =
    without.n === 0
      ? "nobody is left to compare"
      : `${meanWords(without) ?? "too little is left to compare"}, ${skaters}`;
  const open =
    left && left.unmeasured > 0 && without.n > 0
      ? `; ${countOf(left.unmeasured, left.trials)} trials left were not measured`
      : "";
  return `Without ${them}: ${rest}${open}.`;
}
