import { dirname } from "node:path";
import { besideName, type Disk, realDisk } from "../disk/disk.ts";

/** Names of files that are being written; what is left of them after a kill is deleted when the study is opened. */
export const TEMPORARY = /^\..+\.[0-9a-f]{12}\.tmp$/;

/**
 * Puts `text` in the place of a file: written beside it, flushed to the disk, renamed over it, the folder flushed.
 * Killed at any moment, the old content or the new is there, whole.
 */
export async function writeAtomically(
  path: string,
  text: string,
  disk: Disk = realDisk(dirname(path)),
): Promise<void> {
  const temporary = besideName(path);
  try {
    await disk.create(temporary, text);
    await disk.rename(temporary, path);
  } catch (error) {
    await disk.remove(temporary).catch(() => undefined);
    throw error;
  }
  await disk.flushFolder(dirname(path));
}
