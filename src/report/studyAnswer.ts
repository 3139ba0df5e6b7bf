import { comparedTechniques, compareStudy } from "../compare/compareStudy.ts";
import { countOf, countWord, listed } from "../compare/numbers.ts";
import { type PlainWords, plainWords } from "../compare/plainWords.ts";
import { type SensitivityRow, sensitivity, type Without } from "../compare/sensitivity.ts";
import type { Comparison } from "../compare/types.ts";
import type { CompareQuantity } from "../quantities/compared.ts";
import type { Warning } from "../reading.ts";
import { type Names, trialLabel } from "../study/labels.ts";
import type { Study, Technique, WholeStudy } from "../study/types.ts";
import { withClipTimes } from "../trials/clipTime.ts";
import { CONTRADICTS, countedReadings } from "../trials/countedReadings.ts";
import {
  type CheckedTrial,
  type ReadingOf,
  type TechniqueCheck,
  techniqueCheck,
} from "../trials/techniqueCheck.ts";
import { capital } from "../words.ts";

export interface StudyAnswer {
  readonly a: Technique;
  readonly b: Technique;
  readonly all: Comparison;
  readonly words: PlainWords;
  readonly check: TechniqueCheck;
  /** Without the trials that were not as asked; null when there are none of those. */
  readonly asAskedOnly: Comparison | null;
  /** What the mean becomes without single skaters, doubtful clips, trials not as asked, a steady change. */
  readonly sensitivity: readonly SensitivityRow[];
  /** "With care: two clips do not fit their times; …" in one line; null where there is nothing against the trials. */
  readonly care: string | null;
  /** Warnings that the sentences do not say already. */
  readonly worthKnowing: readonly Warning[];
  /** How many trials cannot be judged; null when all can. */
  readonly cantTell: string | null;
}

/** Warnings whose content is in the plain words. */
export const SAID: ReadonlySet<string> = new Set(["no-pairs", "one-skater", "few-skaters", "no-repeats"]);

/** Everything Compare and the report say of two techniques. Null when the study has fewer than two. */
export function studyAnswer(
  given: WholeStudy,
  quantity: CompareQuantity,
  names: Names,
  readings: ReadingOf,
): StudyAnswer | null {
  const whole = withClipTimes(given);
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
  const left = (without: readonly string[]) =>
    without.length === 0 ? null : compareStudy(study, { quantity, meanOf, names, without: new Set(without) });
  const asAskedOnly = left(wrong);
  const doubted = check.trials.map(({ trial }) => trial.id).filter((id) => isDoubted(readingOf(id)));
  const fitting = quantity === "time_s" ? left(doubted) : null;
  const noMean = check.trials.filter((t) => "why" in t.mean && t.asked.answer !== "no");
  const judgedAtAll = check.trials.some((t) => check[t.which].band);
  // A clip that does not fit its time is said by itself.
  const open = check.trials.filter(
    (t) => t.asked.answer === "can't tell" && !(fitting && doubted.includes(t.trial.id)),
  );
  const isUnmeasured = (t: CheckedTrial) => "why" in t.mean && !doubted.includes(t.trial.id);
  const cantTell =
    open.length === 0 || !judgedAtAll
      ? null
      : openWords(open.length, check.trials.length, open.every(isUnmeasured));
  return {
    ...two,
    all,
    words: notTestedWords(check) ?? plainWords(all),
    check,
    asAskedOnly,
    worthKnowing: all.warnings.filter((w) => !SAID.has(w.code)),
    sensitivity: sensitivity(all, {
      doubted: fitting && {
        comparison: fitting,
        note: `${labels(study, doubted, names)}: ${doubted.length === 1 ? "the clip does not fit the time" : "the clips do not fit the times"}.`,
      },
      notAsAsked:
        asAskedOnly &&
        without(asAskedOnly, labels(study, wrong, names), {
          ...{ left: check.trials.length - wrong.length, noMean: noMean.length },
          unmeasured: noMean.filter(isUnmeasured).length,
        }),
    }),
    care: careWords(fitting ? doubted.length : 0, wrong.length, withClips(all, cantTell), all.n > 0),
    cantTell: cantTell && `${capital(cantTell)}.`,
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
  const again = [...(first.missed ? [a] : []), ...(second.missed ? [b] : [])].map((t) => t.technique.name);
  const shows = number === 1 ? "does not show what was asked" : "shows what was asked";
  return {
    headline: `${none}${of1} ${shows}, so this does not test ${a.technique.name} against ${b.technique.name} yet.`,
    support: ["The times are below.", `Next: skate ${listed(again)} again, as asked.`],
    notTested: true,
  };
}

/** Trials of which nobody knows whether they were as asked, and why where that is the same of all. */
function openWords(open: number, trials: number, unmeasured: boolean): string {
  const all = open === trials;
  const some = countOf(open, trials);
  if (unmeasured)
    return `${all ? "no trial was measured yet" : `${some} trials were not measured`}: nothing shows how they were skated`;
  return all
    ? "for no trial can it be told yet whether it was as asked"
    : `for ${some} trials it can’t be told whether they were as asked`;
}

/** With how many times are by clips. */
function withClips({ clocks: { byClip, byPhotocells } }: Comparison, open: string | null): string | null {
  if (byClip === 0) return open;
  const clips =
    byPhotocells === 0
      ? "all times are by clips"
      : `${countOf(byClip, byClip + byPhotocells)} times are by clips`;
  return open === null ? clips : `${open}; ${clips}`;
}

/** Which trials are meant, and what their absence changes, stands in the table of what is left without them. */
function careWords(doubted: number, wrong: number, open: string | null, below: boolean): string | null {
  const some = (n: number, one: string, more: string) =>
    n === 0 ? [] : [n === 1 ? `one ${one}` : `${countWord(n)} ${more}`];
  const against = [
    ...some(doubted, "clip does not fit its time", "clips do not fit their times"),
    ...some(wrong, "trial was not as asked", "trials were not as asked"),
  ];
  if (against.length === 0) return open && `${capital(open)}.`;
  // After these it need not be said again what of, and what is not known then.
  const rest =
    open === null
      ? []
      : [open.replace(/: nothing shows[^;]*/, "").replace(/ trials (?:were )?(not|it)/, " $1")];
  return `${capital([...against, ...rest].join("; "))}.${below ? " See below." : ""}`;
}

function labels(study: Study, trials: readonly string[], names: Names): string {
  return trials.map((id) => trialLabel(study, id, names)).join("; ");
}

/** What is left without the trials not as asked; where no measure of any of it counts, nothing can be said. */
function without(
  comparison: Comparison,
  which: string,
  {
    left,
    noMean,
    unmeasured,
  }: {
    readonly left: number;
    readonly noMean: number;
    /** Of those without a mean; the others have a clip that does not fit the time. */
    readonly unmeasured: number;
  },
): Without {
  if (noMean === left && left > 0)
    return { comparison, note: `${which}.`, nothing: "only unmeasured trials are left: nothing can be said" };
  const open =
    unmeasured > 0 && comparison.n > 0
      ? ` ${capital(countOf(unmeasured, left))} trials left were not measured.`
      : "";
  return { comparison, note: `${which}.${open}` };
}

/** What was measured, where no times can be compared; null where these can, or nothing is measured of two techniques. */
export function measuredAnswer(
  whole: WholeStudy,
  answer: StudyAnswer | null,
  names: Names,
  readings: ReadingOf,
): StudyAnswer | null {
  if (!answer || answer.all.n > 0) return null;
  const measured = studyAnswer(whole, answer.check.quantity, names, readings);
  return measured && measured.all.n > 0 ? measured : null;
}
