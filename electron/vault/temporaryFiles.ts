import { join } from "node:path";
import type { Disk } from "../disk/disk.ts";
import { TEMPORARY } from "./atomicWrite.ts";

export interface TemporaryFile {
  readonly path: string;
  /** Inside the study, forward slashes. */
  readonly name: string;
  readonly mtimeMs: number;
}

/** What was being written into a study and may have been left behind by a program that was killed. */
export async function temporaryFiles(folder: string, disk: Disk): Promise<TemporaryFile[]> {
  const found: TemporaryFile[] = [];
  for (const place of ["", "marks", "clips", "last-good", "last-good/marks"]) {
    // A folder that is none is told of elsewhere.
    for (const file of await disk.list(join(folder, place)).catch(() => [])) {
      const path = join(folder, place, file);
      const there = TEMPORARY.test(file) ? await disk.look(path) : null;
      if (there) found.push({ path, name: place === "" ? file : `${place}/${file}`, mtimeMs: there.mtimeMs });
    }
  }
  return found;
}
