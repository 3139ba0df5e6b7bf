/** What a column of a pasted table may be headed, in the languages of rinks we know of. */

export type PastedColumn = "order" | "skater" | "technique" | "repeat" | "time" | "note";

const WORDS: Readonly<Record<PastedColumn, readonly string[]>> = {
  order: ["order", "no", "nr", "number", "#"],
  skater: ["skater", "name", "skaters", "athlete", "code"],
  technique: ["technique", "techniques", "recovery"],
  repeat: ["repeat", "trial", "run", "runs"],
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
    "results",
    "times",
    "seconds",
    "sec",
  ],
  note: ["note", "notes", "comment", "remark"],
};

/** What the heading means; null when it is none we know. "Time, s", "time_s", "Time (s)" and "No." count. */
export function headOf(text: string): PastedColumn | null {
  const whole = text.trim().toLowerCase().replace(/[.:]$/, "");
  // A unit stands behind a space, comma or underscore, or in brackets: the s of "temps" is none.
  const bare = whole.replace(/(?:[\s,_]+|\s*[([])(s|sec|seconds)[)\]]?$/, "");
  const found = Object.entries(WORDS).find(([, words]) => words.includes(whole) || words.includes(bare));
  return (found?.[0] as PastedColumn | undefined) ?? null;
}
