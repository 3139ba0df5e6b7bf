import { createHash } from "node:crypto";
import { createReadStream } from "node:fs";
import { stat } from "node:fs/promises";
import { resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import type { ClipLink } from "../../src/study/types.ts";
import { onShare, Shares } from "../clip/link/networkShare.ts";
import { mustBeOwnClip } from "../disk/ownClip.ts";
import { type Finding, problem } from "./finding.ts";

/** A clip of the study: whether its file is there, and is the one the study was made with. */
export async function checkClip(folder: string, clip: ClipLink, content: boolean): Promise<Finding[]> {
  const file = resolve(folder, clip.path);
  const share = new Shares().unasked(file, resolve(folder));
  if (share !== null) return [problem("clip-on-share", clip.path, onShare(file, share).coach)];
  try {
    await mustBeOwnClip(folder, file);
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    return [problem(error.code, clip.path, error.coach)];
  }
  const found = await stat(file).catch(() => null);
  if (!found?.isFile())
    return [
      problem(
        "clip-missing",
        clip.path,
        `The clip "${clip.name}" is not there. Put it back, or choose its file again in the window.`,
      ),
    ];
  const differs = "It is not the file the study was made with; marks on it may lie on other frames.";
  if (found.size !== clip.bytes)
    return [
      problem(
        "clip-differs",
        clip.path,
        `The clip "${clip.name}" has ${found.size} bytes; the study says ${clip.bytes}. ${differs}`,
      ),
    ];
  if (content && clip.sha256 !== undefined && (await hashOf(file)) !== clip.sha256)
    return [
      problem(
        "clip-differs",
        clip.path,
        `The clip "${clip.name}" has another content than when it was added. ${differs}`,
      ),
    ];
  return [];
}

async function hashOf(file: string): Promise<string> {
  const hash = createHash("sha256");
  for await (const part of createReadStream(file)) hash.update(part);
  return hash.digest("hex");
}
