import { chmod, mkdir } from "node:fs/promises";
import { join } from "node:path";
import { EMPTY_LIBRARY, type Library, parseLibrary } from "../../src/study/library.ts";
import { DOCUMENT_BYTES, realDisk } from "../disk/disk.ts";
import { ownFolder } from "../disk/ownFolder.ts";
import { writeAtomically } from "../vault/atomicWrite.ts";

export const libraryFile = () => join(ownFolder(), "library.json");

/** What the person keeps beside all studies; empty where nothing was ever kept. @throws {MeasureError} `damaged-library` */
export async function readLibrary(): Promise<Library> {
  const bytes = await realDisk(ownFolder()).read(libraryFile(), DOCUMENT_BYTES);
  if (bytes === null) return EMPTY_LIBRARY;
  let json: unknown;
  try {
    json = JSON.parse(String(bytes));
  } catch {
    json = null;
  }
  return parseLibrary(json);
}

let writing: Promise<unknown> = Promise.resolve();

/** Changes one after the other; readable by nobody else. */
export function changeLibrary(change: (before: Library) => Library): Promise<Library> {
  const changing = writing
    .catch(() => undefined)
    .then(async () => {
      const before = await readLibrary();
      const after = change(before);
      if (JSON.stringify(after) === JSON.stringify(before)) return before;
      await mkdir(ownFolder(), { recursive: true, mode: 0o700 });
      await writeAtomically(libraryFile(), `${JSON.stringify(after, null, 1)}\n`, realDisk(ownFolder()));
      await chmod(libraryFile(), 0o600);
      return after;
    });
  writing = changing;
  return changing;
}
