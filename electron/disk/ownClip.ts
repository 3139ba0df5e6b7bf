import { relative, sep } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { foundAt, leadsOut } from "./plainFiles.ts";

/**
 * The rule of `plainFiles.ts` for a clip. One that lies in the study's folder is reached by no link. One whose path in
 * study.json leads out of the folder was linked there by a person and is taken as it is: its content is held to the
 * hash in the study, it is only ever read, and nothing of it is shown that is no video.
 *
 * @throws {MeasureError} `clip-linked`
 */
export async function mustBeOwnClip(studyFolder: string, file: string): Promise<void> {
  const inside = relative(studyFolder, file);
  if (inside === "" || leadsOut(inside)) return;
  if (!(await isLinked(studyFolder, file))) return;
  const name = inside.split(sep).join("/");
  throw new MeasureError(
    "clip-linked",
    `${file} is reached by a link inside the study`,
    `The clip "${name}" is a link, or lies in a folder that is one. Blademark follows no links inside a study. Put the clip itself there, or choose its file again in the window.`,
  );
}

async function isLinked(studyFolder: string, file: string): Promise<boolean> {
  try {
    return (await foundAt(studyFolder, file))?.isSymbolicLink() ?? false;
  } catch (error) {
    if (error instanceof MeasureError) return true;
    throw error;
  }
}
