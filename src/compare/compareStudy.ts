import { MeasureError } from "../errors.ts";
import type { CompareQuantity } from "../quantities/compared.ts";
import { type Names, skaterLabels, techniqueLabels } from "../study/labels.ts";
import type { TimedStudy, TimedTrial } from "../study/timed.ts";
import type { Study, Technique } from "../study/types.ts";
import { compareTechniques } from "./compareTechniques.ts";
import type { CompareRow, Comparison } from "./types.ts";

export interface StudyComparison {
  readonly quantity: CompareQuantity;
  /** A trial's mean of the quantity, null where it was not measured. Not asked for `time_s`. */
  readonly meanOf: (trial: string) => number | null;
  readonly names: Names;
  /** Trials to leave out, by id: those that do not show the technique asked for. */
  readonly without?: ReadonlySet<string>;
}

/**
 * The two techniques that are compared; difference = b minus a. As chosen in Compare; else as the question has them, b
 * being the one it names first ("Does b beat a?"); else the first two of Plan. Null when the study has fewer than two.
 */
export function comparedTechniques(study: Study): { readonly a: Technique; readonly b: Technique } | null {
  const asked = study.compare ? null : namedInQuestion(study);
  if (asked) return asked;
  const find = (id: string | undefined) => study.techniques.find((t) => t.id === id);
  const a = find(study.compare?.a) ?? study.techniques[0];
  const b = find(study.compare?.b) ?? study.techniques.find((t) => t !== a);
  return a && b && a !== b ? { a, b } : null;
}

/** The first two techniques that the question names as they are called in Plan; null where it names fewer. */
function namedInQuestion({ question, techniques }: Study): ReturnType<typeof comparedTechniques> {
  let text = question.toLowerCase();
  const found: { at: number; technique: Technique }[] = [];
  // Longer names first and taken out, so that "arms" is not found in "arms across".
  for (const technique of [...techniques].sort((x, y) => y.name.length - x.name.length)) {
    const name = technique.name.trim().toLowerCase();
    const at = name === "" ? -1 : wordAt(text, name);
    if (at < 0) continue;
    found.push({ at, technique });
    text = text.slice(0, at) + "\0".repeat(name.length) + text.slice(at + name.length);
  }
  const [b, a] = found.sort((x, y) => x.at - y.at).map((f) => f.technique);
  return a && b ? { a, b } : null;
}

/** Where whole words stand in a text: "open" is not in "opener". */
function wordAt(text: string, words: string): number {
  const letter = /[\p{L}\p{N}]/u;
  for (let at = text.indexOf(words); at >= 0; at = text.indexOf(words, at + 1)) {
    if (!letter.test(text[at - 1] ?? " ") && !letter.test(text[at + words.length] ?? " ")) return at;
  }
  return -1;
}

/**
 * The comparison a study asks for.
 *
 * @throws {MeasureError} `too-few-techniques`
 */
export function compareStudy(
  study: TimedStudy,
  { quantity, meanOf, names, without }: StudyComparison,
): Comparison {
  const two = comparedTechniques(study);
  if (!two) {
    throw new MeasureError(
      "too-few-techniques",
      `compareStudy needs two techniques, got ${study.techniques.length}`,
      "A comparison needs two techniques. Add them in Plan.",
    );
  }
  const skaters = skaterLabels(study, names);
  const techniques = techniqueLabels(study);
  return compareTechniques({
    rows: study.trials.map((trial) => ({
      skater: skaters.get(trial.skater) ?? trial.skater,
      technique: techniques.get(trial.technique) ?? trial.technique,
      order: trial.order,
      ...(quantity === "time_s" ? timeValue(trial) : { value: meanOf(trial.id) }),
      valid: trial.valid,
      notAsAsked: without?.has(trial.id) ?? false,
    })),
    a: techniques.get(two.a.id) ?? two.a.id,
    b: techniques.get(two.b.id) ?? two.b.id,
    quantity,
    worthwhile: quantity === "time_s" ? study.worthwhile : null,
    beam: study.lane.gateBeam,
  });
}

/** A trial's time as a row has it. */
export function timeValue({ time, clipSd }: TimedTrial): Pick<CompareRow, "value" | "clipSd"> {
  return { value: time, ...(clipSd === undefined ? {} : { clipSd }) };
}
