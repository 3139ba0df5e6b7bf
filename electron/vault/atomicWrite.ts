import { randomBytes } from "node:crypto";
import { basename, dirname, join } from "node:path";
import { type Disk, realDisk } from "./disk.ts";

/** Names of files that are being written; what is left of them after a kill is deleted when the study is opened. */
export const TEMPORARY = /^\..+\.[0-9a-f]{12}\.tmp$/;

/**
 * Puts `text` in the place of a file: written beside it, flushed to the disk, renamed over it, the folder flushed.
 * Killed at any moment, the old content or the new is there, whole.
 */
export async function writeAtomically(path: string, text: string, disk: Disk = realDisk): Promise<void> {
  const folder = dirname(path);
  const temporary = join(folder, `.${basename(path)}.${randomBytes(6).toString("hex")}.tmp`);
  try {
    await disk.create(temporary, text);
    await disk.rename(temporary, path);
  } catch (error) {
    await disk.remove(temporary).catch(() => undefined);
    throw error;
  }
  await disk.flushFolder(folder);
}
