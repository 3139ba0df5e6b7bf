import { mkdir, readdir } from "node:fs/promises";
import { join } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import type { Study } from "../../src/study/types.ts";
import { writeAtomically } from "./atomicWrite.ts";
import { documentText } from "./documentText.ts";

/**
 * Makes a new study, an empty one where none is given, in a folder that is empty or not there yet.
 *
 * @throws {MeasureError} `folder-not-empty`
 */
export async function createStudy(folder: string, study: Study = newStudy()): Promise<void> {
  await mkdir(folder, { recursive: true });
  if ((await readdir(folder)).length > 0) {
    throw new MeasureError(
      "folder-not-empty",
      `createStudy needs an empty folder; ${folder} is not`,
      `${folder} already holds something. Choose a new folder for the new study, or open that one without --new.`,
    );
  }
  await writeAtomically(join(folder, "study.json"), documentText(study));
}
