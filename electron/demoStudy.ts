import { mkdir, rm, stat } from "node:fs/promises";
import { basename, dirname, join, resolve } from "node:path";
import { MeasureError } from "../src/errors.ts";
import { ownFolder } from "./disk/ownFolder.ts";
import { packageRoot } from "./packageRoot.ts";
import { copyStudy } from "./vault/copyStudy.ts";

/**
 * A working copy of the demo study, made once: what people do in it stays, the original stays clean. Links to the
 * sample clips are rewritten so that they lead to the same files from the copy.
 *
 * @param root the folder that holds sample-clips/
 * @param base where the copy goes; absent = .blademark/ in the repository, else in the person's own folder
 * @returns the copy's folder
 * @throws {MeasureError} `no-demo`
 */
export async function demoStudy(root = packageRoot(), base?: string): Promise<string> {
  const original = join(root, "sample-clips", "demo-study");
  const copy = await workingCopy(original, root, base);
  if (copy === null) {
    throw new MeasureError(
      "no-demo",
      `demoStudy needs ${original}/study.json`,
      "The demo study is not part of this installation. Open a study of your own: blademark serve FOLDER, or make one with: blademark serve --new FOLDER",
    );
  }
  return copy;
}

/**
 * A study named by a person, where it is one of the repository's own samples: a working copy like the demo's.
 *
 * @param root the folder that holds sample-clips/
 * @returns the copy's folder; null where the study is a person's own
 */
export async function sampleStudy(study: string, root = packageRoot()): Promise<string | null> {
  const original = resolve(study);
  return dirname(original) === join(root, "sample-clips") ? workingCopy(original, root) : null;
}

/** Made once, in `base`; null where there is nothing to copy. */
async function workingCopy(original: string, root: string, base?: string): Promise<string | null> {
  const copy = join(base ?? (await workingFolder(root)), basename(original));
  if (await stat(join(copy, "study.json")).catch(() => null)) return copy;
  if (!(await stat(join(original, "study.json")).catch(() => null))) return null;
  // What is left of a copy that was interrupted.
  await rm(copy, { recursive: true, force: true });
  await copyStudy(original, copy);
  return copy;
}

/** In the repository `.blademark/`; where an installed package may not be written, the person's own folder. */
async function workingFolder(root: string): Promise<string> {
  const here = join(root, ".blademark");
  try {
    await mkdir(here, { recursive: true });
    return here;
  } catch {
    const home = ownFolder();
    await mkdir(home, { recursive: true });
    return home;
  }
}
