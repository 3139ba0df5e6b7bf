import { constants } from "node:fs";
import { copyFile, rename as fsRename, mkdir, open, rm } from "node:fs/promises";

/**
 * Everything the vault does to a disk, in the smallest steps after which the power may fail. Tests put a disk in its
 * place that is full, read-only, or stops the world at any of these calls.
 */
export interface Disk {
  /** A new file with that content, flushed; fails when there is one already. */
  create(path: string, text: string): Promise<void>;
  /** Text at the end of a file (made when missing), flushed. */
  append(path: string, text: string): Promise<void>;
  rename(from: string, to: string): Promise<void>;
  /** Fails when `to` is there already. */
  copy(from: string, to: string): Promise<void>;
  remove(path: string): Promise<void>;
  makeFolder(path: string): Promise<void>;
  flushFolder(path: string): Promise<void>;
}

export const realDisk: Disk = {
  create: (path, text) => writeFlushed(path, "wx", text),
  append: (path, text) => writeFlushed(path, "a", text),
  rename: fsRename,
  copy: (from, to) => copyFile(from, to, constants.COPYFILE_EXCL),
  remove: (path) => rm(path, { force: true }),
  async makeFolder(path) {
    await mkdir(path, { recursive: true });
  },
  flushFolder,
};

async function writeFlushed(path: string, flag: string, text: string): Promise<void> {
  const file = await open(path, flag);
  try {
    await file.writeFile(text, "utf8");
    await file.sync();
  } finally {
    await file.close();
  }
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
