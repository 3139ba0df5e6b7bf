import { mkdir, readdir, stat } from "node:fs/promises";
import { dirname, join } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import type { Study } from "../../src/study/types.ts";
import { writeAtomically } from "./atomicWrite.ts";
import { documentText } from "./documentText.ts";

/**
 * Makes a new study, an empty one where none is given, in a folder that is empty or not there yet.
 *
 * @throws {MeasureError} `folder-not-empty`, `no-folder`
 */
export async function createStudy(folder: string, study: Study = newStudy()): Promise<void> {
  try {
    await makeFolder(folder);
    if ((await readdir(folder)).length > 0) {
      throw new MeasureError(
        "folder-not-empty",
        `createStudy needs an empty folder; ${folder} is not`,
        `${folder} already holds something. Choose a new folder for the new study, or open that one instead.`,
      );
    }
    await writeAtomically(join(folder, "study.json"), documentText(study));
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (error instanceof MeasureError || !code || code.startsWith("ERR_")) throw error;
    throw new MeasureError(
      "no-folder",
      `createStudy cannot write in ${folder}: ${code}`,
      `No study can be made in ${folder} (${code}). Check the path, and that you may write there.`,
    );
  }
}

/** With the folders it lies in. Not `recursive`: where a system has a folder that takes none (/proc), Node tries for ever. */
async function makeFolder(folder: string): Promise<void> {
  try {
    await mkdir(folder);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "EEXIST") return;
    const above = dirname(folder);
    if (code !== "ENOENT" || above === folder || (await isThere(above))) throw error;
    await makeFolder(above);
    await mkdir(folder);
  }
}

const isThere = (folder: string) =>
  stat(folder).then(
    () => true,
    () => false,
  );
