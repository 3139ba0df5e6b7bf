import { chmod, mkdir, readFile, stat } from "node:fs/promises";
import { dirname, isAbsolute, join } from "node:path";
import { writeAtomically } from "./vault/atomicWrite.ts";

/** A season's evenings, and more. */
const KEPT = 40;

/** The studies that were opened last, newest first, those that are still there. Losing the list costs nothing. */
export async function recentStudies(file: string): Promise<string[]> {
  try {
    const list: unknown = JSON.parse(await readFile(file, "utf8"));
    const folders = Array.isArray(list)
      ? list.filter((one) => typeof one === "string" && isAbsolute(one)).slice(0, KEPT)
      : [];
    const there = await Promise.all(
      folders.map((folder) =>
        stat(join(folder, "study.json")).then(
          () => true,
          () => false,
        ),
      ),
    );
    return folders.filter((_, i) => there[i]);
  } catch {
    return [];
  }
}

/** Puts a study first in the list. @returns the list */
export async function rememberStudy(file: string, folder: string): Promise<string[]> {
  const others = (await recentStudies(file)).filter((one) => one !== folder);
  const list = [folder, ...others].slice(0, KEPT);
  try {
    // Folders are called after people; no other user of the machine need read them.
    await mkdir(dirname(file), { recursive: true, mode: 0o700 });
    await writeAtomically(file, `${JSON.stringify(list, null, 1)}\n`);
    await chmod(file, 0o600);
  } catch {
    // Losing the list costs nothing.
  }
  return list;
}
