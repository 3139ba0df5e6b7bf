import { join } from "node:path";
import { type Disk, realDisk } from "../disk/disk.ts";
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
  disk: Disk = realDisk(folder),
): Promise<string> {
  const taken = [...(listed ?? (await disk.list(folder)))];
  for (;;) {
    const name = uniqueName(wanted, taken);
    try {
      await disk.moveToNew(temporary, join(folder, name));
      return name;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw error;
      taken.push(name);
    }
  }
}
