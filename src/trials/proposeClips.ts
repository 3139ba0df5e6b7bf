import type { Study, Trial } from "../study/types.ts";

export interface ClipProposal {
  /** Place of the file in the list given. */
  readonly file: number;
  /** Trial it may belong to; null = more files than trials without a clip. */
  readonly trial: string | null;
  readonly because: "its name" | "the order" | "nothing";
}

/**
 * Which dropped file may show which trial. By name where a file's name holds skater (name or code), technique and
 * repeat of exactly one trial; the others by order: file names in natural order against trials without a clip in
 * run order. Only a proposal: a person confirms each.
 */
export function proposeClips(study: Study, fileNames: readonly string[]): ClipProposal[] {
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
  const byName = fileNames
    .map((name, file) => ({ name, file }))
    .filter(({ file }) => !proposals.has(file))
    .sort((a, b) => a.name.localeCompare(b.name, "en", { numeric: true }));
  byName.forEach(({ file }, i) => {
    const trial = rest[i]?.id ?? null;
    proposals.set(file, { file, trial, because: trial === null ? "nothing" : "the order" });
  });
  return fileNames.map((_, file) => proposals.get(file)!);
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
