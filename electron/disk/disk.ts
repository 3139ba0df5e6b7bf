import { randomBytes } from "node:crypto";
import { constants, type Stats } from "node:fs";
import {
  type FileHandle,
  rename as fsRename,
  link,
  lutimes,
  mkdir,
  open,
  readdir,
  rm,
} from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { foundAt, type How, mustFit, notPlain, openPlain, plainWay } from "./plainFiles.ts";

/**
 * Everything that is done to one folder (a study) and what lies below it, by the rule of `plainFiles.ts`; nothing else
 * in the program touches files there. Paths are absolute. Writes are the smallest steps after which the power may fail:
 * tests put a disk in its place that is full, read-only, or stops the world at any of these calls.
 *
 * Every call throws MeasureError `not-plain` for what the rule refuses.
 */
export interface Disk {
  /** A file's content; null when there is none. @throws {MeasureError} `too-large` */
  read(path: string, mostBytes: number): Promise<Buffer<ArrayBuffer> | null>;
  /** What is there, a link not followed; null when there is nothing. */
  look(path: string): Promise<Stats | null>;
  /** Names in a folder; none when it is not there. */
  list(folder: string): Promise<string[]>;
  /** For more than one call. @throws {MeasureError} `hard-link` */
  open(path: string, how: How): Promise<FileHandle>;
  /** A new file with that content, flushed; fails when there is one already. */
  create(path: string, text: string): Promise<void>;
  /** Text at the end of a file (made when missing), flushed. */
  append(path: string, text: string): Promise<void>;
  /** Content in the place of a file, whole but not flushed: for what can be made again. */
  replace(path: string, content: string | Uint8Array): Promise<void>;
  rename(from: string, to: string): Promise<void>;
  /** Renaming that replaces nothing: fails when `to` is there already. */
  moveToNew(from: string, to: string): Promise<void>;
  /** Fails when `to` is there already. */
  copy(from: string, to: string): Promise<void>;
  remove(path: string): Promise<void>;
  /** A folder and all in it; a link in its place is taken away, not followed. */
  removeFolder(path: string): Promise<void>;
  makeFolder(path: string): Promise<void>;
  flushFolder(path: string): Promise<void>;
  /** The folder was used now. */
  touch(folder: string): Promise<void>;
}

/** A disk for what lies below a folder. */
export type DiskOf = (root: string) => Disk;

/** Larger than any document or journal; nothing larger is copied. */
export const DOCUMENT_BYTES = 256e6;
/** A lock, a position: one line. */
export const LINE_BYTES = 64e3;

const PART_BYTES = 1 << 20;

/** @returns a name beside `path` for a file that is being written */
export function besideName(path: string): string {
  return join(dirname(path), `.${basename(path)}.${randomBytes(6).toString("hex")}.tmp`);
}

export const realDisk: DiskOf = (root) => {
  const disk: Disk = {
    async read(path, mostBytes) {
      try {
        return await whole(await openPlain(root, path, "read"), (bytes) =>
          mustFit(root, path, bytes, mostBytes),
        );
      } catch (error) {
        if (isMissing(error)) return null;
        throw error;
      }
    },
    look: (path) => foundAt(root, path),
    async list(folder) {
      const found = await foundAt(root, folder);
      if (!found) return [];
      if (!found.isDirectory()) throw notPlain(root, folder, found, "folder");
      return readdir(folder);
    },
    open: (path, how) => openPlain(root, path, how),
    create: async (path, text) => writeFlushed(await openPlain(root, path, "new"), text),
    async append(path, text) {
      const open = () => openPlain(root, path, "append");
      const handle = await open().catch(async (error: unknown) => {
        if (!(error instanceof MeasureError) || error.code !== "hard-link") throw error;
        // As a backup by hard links leaves it: what else has that name keeps what it holds.
        const own = besideName(path);
        await disk.copy(path, own);
        await disk.rename(own, path);
        return open();
      });
      await writeFlushed(handle, text);
    },
    async replace(path, content) {
      const there = await foundAt(root, path);
      if (there?.isDirectory()) throw notPlain(root, path, there);
      const beside = besideName(path);
      const handle = await openPlain(root, beside, "new");
      try {
        await handle.writeFile(content);
      } finally {
        await handle.close();
      }
      await disk.rename(beside, path);
    },
    async rename(from, to) {
      await plainWay(root, from);
      await plainWay(root, to);
      await fsRename(from, to);
    },
    async moveToNew(from, to) {
      await plainWay(root, from);
      await plainWay(root, to);
      await moveToNew(from, to);
    },
    async copy(from, to) {
      const source = await openPlain(root, from, "read");
      try {
        mustFit(root, from, (await source.stat()).size, DOCUMENT_BYTES);
        const copy = await openPlain(root, to, "new");
        try {
          await pour(source, copy);
        } catch (error) {
          await rm(to, { force: true });
          throw error;
        } finally {
          await copy.close();
        }
      } finally {
        await source.close();
      }
    },
    async remove(path) {
      await plainWay(root, path);
      await rm(path, { force: true });
    },
    async removeFolder(path) {
      await plainWay(root, path);
      await rm(path, { recursive: true, force: true });
    },
    async makeFolder(path) {
      const found = await foundAt(root, path);
      if (found && !found.isDirectory()) throw notPlain(root, path, found, "folder");
      if (!found) await mkdir(path, { recursive: true });
    },
    async flushFolder(path) {
      await plainWay(root, path);
      await flushFolder(path);
    },
    async touch(folder) {
      await plainWay(root, folder);
      const now = new Date();
      await lutimes(folder, now, now);
    },
  };
  return disk;
};

async function writeFlushed(file: FileHandle, text: string): Promise<void> {
  try {
    await file.writeFile(text, "utf8");
    await file.sync();
  } finally {
    await file.close();
  }
}

/** Reads what is there to its end, also where that is not where its size says, and no more than fits. */
async function whole(file: FileHandle, mustFit: (bytes: number) => void): Promise<Buffer<ArrayBuffer>> {
  try {
    const { size } = await file.stat();
    mustFit(size);
    const parts: Buffer[] = [];
    let bytes = 0;
    for (let want = size + 1; ; want = PART_BYTES) {
      const { buffer, bytesRead } = await file.read(Buffer.allocUnsafe(want), 0, want, bytes);
      if (bytesRead === 0) return Buffer.concat(parts, bytes);
      parts.push(buffer.subarray(0, bytesRead));
      bytes += bytesRead;
      mustFit(bytes);
    }
  } finally {
    await file.close();
  }
}

async function pour(from: FileHandle, to: FileHandle): Promise<void> {
  const part = Buffer.allocUnsafe(PART_BYTES);
  for (let at = 0; ; ) {
    const { bytesRead } = await from.read(part, 0, part.length, at);
    if (bytesRead === 0) return;
    await to.writeFile(part.subarray(0, bytesRead));
    at += bytesRead;
  }
}

/** Renaming replaces what is there; a second name for the same file is given only where there is none. */
async function moveToNew(from: string, to: string): Promise<void> {
  try {
    await link(from, to);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "EEXIST") throw error;
    // Memory sticks have no second names: the name is taken by an empty file first.
    await (await open(to, "wx")).close();
    try {
      await fsRename(from, to);
    } catch (renaming) {
      await rm(to, { force: true });
      throw renaming;
    }
    return;
  }
  await rm(from, { force: true });
}

function isMissing(error: unknown): boolean {
  const { code } = error as NodeJS.ErrnoException;
  return code === "ENOENT" || code === "ENOTDIR";
}

/** The rename itself must reach the disk too. Windows has no such call on folders and needs none. */
async function flushFolder(folder: string): Promise<void> {
  if (process.platform === "win32") return;
  const handle = await open(folder, constants.O_RDONLY | constants.O_NOFOLLOW | constants.O_NONBLOCK);
  try {
    await handle.sync();
  } catch {
    // Some network file systems refuse to flush a folder; the file itself is flushed.
  } finally {
    await handle.close();
  }
}
