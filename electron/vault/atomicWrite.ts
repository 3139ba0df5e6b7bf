import { randomBytes } from "node:crypto";
import { rename as fsRename, open, rm } from "node:fs/promises";
import { basename, dirname, join } from "node:path";

/** Names of files that are being written; what is left of them after a kill is deleted when the study is opened. */
export const TEMPORARY = /^\..+\.[0-9a-f]{12}\.tmp$/;

/**
 * Puts `text` in the place of a file: written beside it, flushed to the disk, renamed over it. Killed at any moment,
 * the old content or the new is there, whole. `rename` is replaced by tests that stop the world in between.
 */
export async function writeAtomically(path: string, text: string, rename = fsRename): Promise<void> {
  const folder = dirname(path);
  const temporary = join(folder, `.${basename(path)}.${randomBytes(6).toString("hex")}.tmp`);
  const file = await open(temporary, "wx");
  try {
    try {
      await file.writeFile(text, "utf8");
      await file.sync();
    } finally {
      await file.close();
    }
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true });
    throw error;
  }
  await flushFolder(folder);
}

/** The rename itself must reach the disk too. Windows has no such call on folders and needs none. */
export async function flushFolder(folder: string): Promise<void> {
  if (process.platform === "win32") return;
  const handle = await open(folder, "r");
  try {
    await handle.sync();
  } catch {
    // Some network file systems refuse to flush a folder; the file itself is flushed.
  } finally {
    await handle.close();
  }
}
