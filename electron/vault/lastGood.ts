import { basename, dirname, join } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { type Disk, DOCUMENT_BYTES } from "../disk/disk.ts";
import { writeAtomically } from "./atomicWrite.ts";
import { olderFolder } from "./places.ts";
import { unreadable } from "./unreadable.ts";

/** Older good copies kept of each document. */
export const OLDER_KEPT = 8;

const NUMBER = / (\d{6})\.json$/;

/** Writes the last good copy of a document. */
export async function keepLastGood(lastGood: string, text: string, disk: Disk): Promise<void> {
  await disk.makeFolder(dirname(lastGood));
  await writeAtomically(lastGood, text, disk);
}

/** Puts a copy of `from` among the older good copies and lets the oldest go. */
export async function keepOlder(from: string, lastGood: string, disk: Disk): Promise<void> {
  const folder = olderFolder(lastGood);
  await disk.makeFolder(folder);
  const older = await olderCopies(lastGood, disk);
  const next = older.length > 0 ? numberOf(older[0] as string) + 1 : 1;
  const stem = basename(lastGood, ".json");
  await disk.copy(from, join(folder, `${stem} ${String(next).padStart(6, "0")}.json`));
  for (const path of older.slice(OLDER_KEPT - 1)) await disk.remove(path);
}

export interface GoodCopy<T> {
  readonly value: T;
  readonly text: string;
}

/**
 * The first of the good copies, newest first, that can be used; null when there is none.
 *
 * @throws {MeasureError} `unreadable`: a newer one is there, and nobody knows what it holds
 */
export async function readGood<T>(
  lastGood: string,
  parse: (json: unknown) => T,
  disk: Disk,
): Promise<GoodCopy<T> | null> {
  const copies = [
    lastGood,
    ...((await known(olderFolder(lastGood), () => olderCopies(lastGood, disk))) ?? []),
  ];
  for (const path of copies) {
    const text = await known(path, async () => (await disk.read(path, DOCUMENT_BYTES))?.toString("utf8"));
    try {
      if (text !== undefined && text !== null) return { value: parse(JSON.parse(text)), text };
    } catch {
      // Damaged too: the next older one.
    }
  }
  return null;
}

/** What is read there; null for what is no plain file and never was a copy of ours. @throws {MeasureError} `unreadable` */
async function known<T>(path: string, read: () => Promise<T>): Promise<T | null> {
  try {
    return await read();
  } catch (error) {
    if (error instanceof MeasureError) return null;
    throw unreadable(path, error);
  }
}

/** Paths, newest first. */
async function olderCopies(lastGood: string, disk: Disk): Promise<string[]> {
  const folder = olderFolder(lastGood);
  const start = `${basename(lastGood, ".json")} `;
  const names = (await disk.list(folder)).filter(
    (name) => name.startsWith(start) && NUMBER.exec(name)?.index === start.length - 1,
  );
  return names.sort((a, b) => numberOf(b) - numberOf(a)).map((name) => join(folder, name));
}

function numberOf(path: string): number {
  return Number(NUMBER.exec(path)?.[1] ?? 0);
}
