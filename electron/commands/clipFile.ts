import { access } from "node:fs/promises";
import { resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";

/**
 * The path of a clip typed on the command line. Other troubles are told by what reads it.
 *
 * @throws {MeasureError} `clip-missing`: no study knows the clip, so there is none to put back
 */
export async function clipFile(typed: string): Promise<string> {
  const file = resolve(typed);
  try {
    await access(file);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT" || code === "ENOTDIR")
      throw new MeasureError("clip-missing", `a clip needs a file; ${file}`, `There is no file ${typed}.`);
  }
  return file;
}
