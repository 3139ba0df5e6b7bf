import { link, open, readdir, rename, rm } from "node:fs/promises";
import { join } from "node:path";
import { uniqueName } from "./safeName.ts";

/**
 * Gives a finished file its name in a folder: the wanted one, or the next that nothing has there. Nothing is ever put in
 * the place of another file, also when that came in this very moment.
 *
 * @param listed names already there, as far as they are known
 * @returns the name
 */
export async function nameFile(
  temporary: string,
  folder: string,
  wanted: string,
  listed?: readonly string[],
): Promise<string> {
  const taken = [...(listed ?? (await readdir(folder)))];
  for (;;) {
    const name = uniqueName(wanted, taken);
    try {
      await moveToNew(temporary, join(folder, name));
      return name;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw error;
      taken.push(name);
    }
  }
}

/** Renaming replaces what is there; a second name for the same file is given only where there is none. */
async function moveToNew(from: string, to: string): Promise<void> {
  try {
    await link(from, to);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "EEXIST") throw error;
    // Memory sticks have no second names: the name is taken by an empty file first.
    await (await open(to, "wx")).close();
    try {
      await rename(from, to);
    } catch (renaming) {
      await rm(to, { force: true });
      throw renaming;
    }
    return;
  }
  await rm(from, { force: true });
}
