import { readFile } from "node:fs/promises";
import { MeasureError } from "../../src/errors.ts";

/**
 * A table from disk, read by one of the core's readers; the file's name stands before what is wrong in it.
 *
 * @throws {MeasureError}
 */
export async function readTableFile<T>(file: string, read: (text: string) => T): Promise<T> {
  let text: string;
  try {
    text = await readFile(file, "utf8");
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw new MeasureError(
      "unreadable",
      `cannot read ${file}: ${code}`,
      code === "ENOENT"
        ? `There is no file ${file}. Check the name.`
        : code === "EISDIR"
          ? `${file} is a folder; a table is a file.`
          : `${file} cannot be read (${code}).`,
    );
  }
  try {
    return read(text);
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    throw new MeasureError(error.code, `${file}: ${error.message}`, `${file}: ${error.coach}`, error.data);
  }
}
