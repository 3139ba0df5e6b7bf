import { createHash } from "node:crypto";
import { join } from "node:path";
import { z } from "zod";
import type { JournalStep } from "../../src/study/journal.ts";
import { tooDeep } from "../../src/study/nesting.ts";
import { journalStep } from "../../src/study/parseSteps.ts";
import { type Disk, DOCUMENT_BYTES } from "../disk/disk.ts";
import { unreadable } from "./unreadable.ts";

/**
 * A line of `journal.jsonl`. `base`: what the files held (SHA-256 of their text, null = no file) when `n` steps had
 * been made. `writing`: a file is about to hold the state after `n` steps. `step`: step number `n`.
 */
export type Entry =
  | { readonly n: number; readonly base: Readonly<Record<string, string | null>> }
  | { readonly n: number; readonly writing: string; readonly sha256: string }
  | { readonly n: number; readonly step: JournalStep };

export const journalFile = (folder: string) => join(folder, "journal.jsonl");

/** An entry as a line that shows whether it is whole. */
export function entryLine(entry: Entry): string {
  const text = JSON.stringify(entry);
  return `${sum(text)} ${text}\n`;
}

export interface ReadJournal {
  readonly entries: readonly Entry[];
  /** A step is missing or damaged: what came after it is not used. */
  readonly damaged: boolean;
  /** The file is there and holds not one whole line. */
  readonly empty: boolean;
}

const at = z.number().int().nonnegative();
const base = z.looseObject({ n: at, base: z.record(z.string(), z.string().nullable()) });
const writing = z.looseObject({ n: at, writing: z.string(), sha256: z.string() });
const step = z.looseObject({ n: at, step: journalStep });
const entry: z.ZodType<Entry> = z.union([base, writing, step]);

/**
 * Reads a journal as far as it is whole. Only one that is not there counts as none. A line broken off by a kill or a full disk was never acknowledged; it counts
 * as damage only when the steps after it do not follow on. A step written again takes the place of its first writing.
 *
 * @throws {MeasureError} `unreadable`, or what the disk refuses
 */
export async function readJournal(folder: string, disk: Disk): Promise<ReadJournal> {
  const file = journalFile(folder);
  const read = await disk.read(file, DOCUMENT_BYTES).catch((error: unknown) => {
    throw unreadable(file, error);
  });
  const text = read?.toString("utf8") ?? "";
  const entries: Entry[] = [];
  let steps = 0;
  for (const line of text.split("\n")) {
    const found = parseLine(line);
    if (!found) continue;
    if (entries.length === 0) steps = found.n - ("step" in found ? 1 : 0);
    if (found.n > steps + ("step" in found ? 1 : 0)) return { entries, damaged: true, empty: false };
    if ("step" in found) {
      const again = entries.findIndex((e) => "step" in e && e.n === found.n);
      if (again >= 0) entries.splice(again);
      steps = found.n;
    }
    entries.push(found);
  }
  return { entries, damaged: false, empty: read !== null && entries.length === 0 };
}

function parseLine(line: string): Entry | null {
  const text = line.slice(17);
  if (line.slice(0, 16) !== sum(text)) return null;
  try {
    const json: unknown = JSON.parse(text);
    return tooDeep(json) ? null : (entry.safeParse(json).data ?? null);
  } catch {
    return null;
  }
}

function sum(text: string): string {
  return createHash("sha256").update(text).digest("hex").slice(0, 16);
}

/** Steps of a journal in order. */
export function stepsOf(entries: readonly Entry[]): { readonly n: number; readonly step: JournalStep }[] {
  return entries.flatMap((e) => ("step" in e ? [e] : []));
}

/** After how many steps a file held that text; null when the journal does not know it. */
export function stepsIn(entries: readonly Entry[], document: string, sha256: string | null): number | null {
  for (const entry of entries.toReversed()) {
    if ("base" in entry && (entry.base[document] ?? null) === sha256) return entry.n;
    if ("writing" in entry && entry.writing === document && entry.sha256 === sha256) return entry.n;
  }
  return null;
}
