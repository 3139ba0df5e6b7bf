import type { Study, Trial } from "../study/types.ts";

export interface ClipProposal {
  /** Place of the file in the list given. */
  readonly file: number;
  /** Trial it may belong to; null = more files than trials without a clip. */
  readonly trial: string | null;
  readonly because: "its name" | "when it was recorded" | "the order" | "nothing";
}

/** Nobody starts two sprints within this time, seconds; files nearer to each other carry the time they were copied. */
const APART = 5;

/**
 * Which dropped file may show which trial. By name where a file's name holds skater (name or code), technique and
 * repeat of exactly one trial; the others in the order they were recorded in, where that is known, else by file names
 * in natural order, against trials without a clip in run order. Only a proposal: a person confirms each.
 *
 * @param recorded when each file was last written, seconds, where known; used only when all are clearly apart
 */
export function proposeClips(
  study: Study,
  fileNames: readonly string[],
  recorded: readonly (number | null)[] = [],
): ClipProposal[] {
  const open = study.trials.filter((t) => t.clip === undefined).sort((a, b) => a.order - b.order);
  const taken = new Set<string>();
  const proposals = new Map<number, ClipProposal>();
  fileNames.forEach((name, file) => {
    const matches = open.filter((trial) => named(study, trial, name));
    if (matches.length !== 1 || taken.has(matches[0]!.id)) return;
    taken.add(matches[0]!.id);
    proposals.set(file, { file, trial: matches[0]!.id, because: "its name" });
  });
  const rest = open.filter((trial) => !taken.has(trial.id));
  const unnamed = fileNames
    .map((name, file) => ({ name, file, at: recorded[file] ?? null }))
    .filter(({ file }) => !proposals.has(file));
  const byTime = inOrderRecorded(unnamed);
  const ordered = byTime ?? unnamed.sort((a, b) => a.name.localeCompare(b.name, "en", { numeric: true }));
  ordered.forEach(({ file }, i) => {
    const trial = rest[i]?.id ?? null;
    const because = trial === null ? "nothing" : byTime ? "when it was recorded" : "the order";
    proposals.set(file, { file, trial, because });
  });
  return fileNames.map((_, file) => proposals.get(file)!);
}

/** The files in order of time; null where a time is missing or two are too near for two sprints. */
function inOrderRecorded<T extends { readonly at: number | null }>(files: readonly T[]): T[] | null {
  if (files.length < 2 || files.some((f) => f.at === null)) return null;
  const sorted = files.slice().sort((a, b) => a.at! - b.at!);
  return sorted.every((f, i) => i === 0 || f.at! - sorted[i - 1]!.at! >= APART) ? sorted : null;
}

/** Are skater, technique and repeat all words of the file's name? "aino-open-2.mp4" */
function named(study: Study, trial: Trial, fileName: string): boolean {
  const words = wordsOf(fileName.replace(/\.[^.]*$/, ""));
  const skater = study.skaters.find((s) => s.id === trial.skater);
  const technique = study.techniques.find((t) => t.id === trial.technique);
  const whose = [skater?.name, skater?.code].some(
    (name) => name && wordsOf(name).every((w) => words.includes(w)),
  );
  // "open recovery" is found by "open": the word that no other technique has.
  const others = study.techniques.filter((t) => t !== technique).flatMap((t) => wordsOf(t.name));
  const telling = wordsOf(technique?.name ?? "").filter((w) => !others.includes(w));
  const how = telling.length > 0 && telling.some((w) => words.includes(w));
  return whose && how && words.includes(String(trial.repeat));
}

function wordsOf(text: string): string[] {
  return text
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter((w) => w !== "");
}
