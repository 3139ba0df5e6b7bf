/** What a column of a pasted table may be headed, in the languages of rinks we know of. */

export type PastedColumn = "order" | "skater" | "technique" | "repeat" | "time" | "note";

const WORDS: Readonly<Record<PastedColumn, readonly string[]>> = {
  order: ["order", "no", "nr", "number", "#"],
  skater: ["skater", "name", "athlete", "code"],
  technique: ["technique", "recovery"],
  repeat: ["repeat", "trial", "run"],
  time: [
    "time",
    "zeit",
    "temps",
    "tid",
    "tempo",
    "tiempo",
    "tijd",
    "aika",
    "čas",
    "result",
    "seconds",
    "sec",
  ],
  note: ["note", "notes", "comment", "remark"],
};

/** What the heading means; null when it is none we know. "Time, s", "time_s", "Time (s)" and "No." count. */
export function headOf(text: string): PastedColumn | null {
  const word = text
    .trim()
    .toLowerCase()
    .replace(/[\s,_]*[([]?(s|sec|seconds)[)\]]?$/, "")
    .replace(/[.:]$/, "");
  const bare = word === "" ? text.trim().toLowerCase() : word;
  const found = Object.entries(WORDS).find(([, words]) => words.includes(bare));
  return (found?.[0] as PastedColumn | undefined) ?? null;
}
