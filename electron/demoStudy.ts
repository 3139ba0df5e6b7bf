import { cp, mkdir, readFile, rename, rm, stat } from "node:fs/promises";
import { homedir } from "node:os";
import { join, relative, resolve, sep } from "node:path";
import { MeasureError } from "../src/errors.ts";
import { parseStudy } from "../src/study/parseStudy.ts";
import { packageRoot } from "./packageRoot.ts";
import { writeAtomically } from "./vault/atomicWrite.ts";
import { documentText } from "./vault/documentText.ts";

/**
 * A working copy of the demo study, made once: what people do in it stays, the original stays clean. Links to the
 * sample clips are rewritten so that they lead to the same files from the copy.
 *
 * @returns the copy's folder
 * @throws {MeasureError} `no-demo`
 */
export async function demoStudy(root = packageRoot()): Promise<string> {
  const original = join(root, "sample-clips", "demo-study");
  const copy = join(await workingFolder(root), "demo-study");
  if (await stat(join(copy, "study.json")).catch(() => null)) return copy;
  const text = await readFile(join(original, "study.json"), "utf8").catch(() => null);
  if (text === null) {
    throw new MeasureError(
      "no-demo",
      `demoStudy needs ${original}/study.json`,
      "The demo study is not part of this installation. Open a study of your own: blademark serve FOLDER, or make one with: blademark serve --new FOLDER",
    );
  }
  // Finished under another name first, so that a copy that was interrupted is not taken for whole.
  const unfinished = `${copy}.new`;
  await rm(unfinished, { recursive: true, force: true });
  await cp(original, unfinished, { recursive: true });
  const study = parseStudy(JSON.parse(text));
  const clips = study.clips.map((link) => {
    const target = resolve(original, link.path);
    if (target.startsWith(original + sep)) return link;
    return { ...link, path: relative(copy, target).split(sep).join("/") };
  });
  await writeAtomically(join(unfinished, "study.json"), documentText({ ...study, clips }));
  await rm(copy, { recursive: true, force: true });
  await rename(unfinished, copy);
  return copy;
}

/** In the repository `.blademark/`; where an installed package may not be written, the person's own folder. */
async function workingFolder(root: string): Promise<string> {
  const here = join(root, ".blademark");
  try {
    await mkdir(here, { recursive: true });
    return here;
  } catch {
    const home = join(homedir(), ".blademark");
    await mkdir(home, { recursive: true });
    return home;
  }
}
