import { constants } from "node:fs";
import { access, realpath, stat } from "node:fs/promises";
import { basename, dirname, resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import type { Study } from "../../src/study/types.ts";

/**
 * Whether a file can be written here, asked before the work for it is done.
 *
 * @throws {MeasureError} `not-written`
 */
export async function checkOutFile(out: string): Promise<void> {
  const folder = dirname(out);
  const found = await stat(folder).catch(() => null);
  if (!found?.isDirectory())
    throw refused(out, `There is no folder ${folder}. Make it first, or choose another place.`);
  const there = await stat(out).catch(() => null);
  if (there && !there.isFile()) throw refused(out, `${out} is a folder. Give the name of a file.`);
  await access(folder, constants.W_OK).catch(() => {
    throw refused(out, `Nothing can be written into the folder ${folder}. Choose another.`);
  });
}

/**
 * A study's own films are irreplaceable: nothing is written over one, by whatever name it is reached.
 *
 * @throws {MeasureError} `not-written`
 */
export async function checkNotAClip(out: string, { clips }: Study, studyFolder: string): Promise<void> {
  const real = await realpath(out).catch(() => null);
  if (real === null) return;
  for (const { path } of clips)
    if ((await realpath(resolve(studyFolder, path)).catch(() => null)) === real)
      throw refused(out, `${basename(out)} is a clip of this study. Choose another name.`);
}

function refused(out: string, coach: string): MeasureError {
  return new MeasureError("not-written", `cannot write ${out}`, `${coach} Nothing was written.`);
}
