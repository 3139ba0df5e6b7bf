import { dirname } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import type { Disk } from "../disk/disk.ts";
import { notPlain } from "../disk/plainFiles.ts";
import { journalFile } from "./journalFile.ts";
import { olderFolder, places } from "./places.ts";

/**
 * Links and other things that stand where folders of documents and the journal belong: nothing can be written there.
 * Of what stands in the place of one document, reading it says so; the cache and the clips are needed for neither.
 *
 * @returns errors `not-plain`, one for each, with its `name` in the study as data
 */
export async function strangersIn(folder: string, disk: Disk): Promise<MeasureError[]> {
  const at = places(folder);
  const folders = [
    at.marksFolder,
    at.lastGood,
    dirname(at.lastGoodMarks("t")),
    ...[at.lastGoodStudy, at.lastGoodMarks("t")].map(olderFolder),
    at.damaged,
    at.conflicts,
  ];
  const found: MeasureError[] = [];
  for (const path of [...folders, journalFile(folder)]) {
    const wanted = path === journalFile(folder) ? "file" : "folder";
    try {
      const there = await disk.look(path);
      if (there && !(wanted === "file" ? there.isFile() : there.isDirectory()))
        found.push(notPlain(folder, path, there, wanted));
    } catch (error) {
      // A folder above it, which has been named already.
      if (!(error instanceof MeasureError)) throw error;
    }
  }
  return found;
}
