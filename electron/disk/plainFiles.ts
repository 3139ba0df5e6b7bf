import { constants, type Stats } from "node:fs";
import { type FileHandle, lstat, open, readlink, realpath } from "node:fs/promises";
import { isAbsolute, join, relative, resolve, sep } from "node:path";
import { MeasureError } from "../../src/errors.ts";

/**
 * The rule for whatever lies below a study's folder, which may come from somebody else: no link is followed, only plain
 * files are opened, and a file that has another name elsewhere (a hard link) is not written in place. Else a study could
 * make its reader write, or show, files that are no study's, or wait for ever for a pipe. The folder itself may be
 * reached by links: that way was chosen by the person who opened it. So was that of a clip whose path in study.json
 * leads out of the folder (`clipFile.ts`).
 */

/** Codes of what the rule refuses. */
export const REFUSED: ReadonlySet<string> = new Set(["not-plain", "hard-link", "too-large"]);

export type How =
  | "read"
  /** Writes go to its end; made when missing. */
  | "append"
  /** Made when missing. */
  | "change"
  /** Fails when there is one already. */
  | "new";

const { O_RDONLY, O_WRONLY, O_RDWR, O_APPEND, O_CREAT, O_EXCL } = constants;
/** Windows has neither: there it is the looks before and after opening that tell. */
const NO_LINK_NO_WAIT = (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0);
const FLAGS: Readonly<Record<How, number>> = {
  read: O_RDONLY,
  append: O_WRONLY | O_APPEND | O_CREAT,
  change: O_RDWR | O_CREAT,
  new: O_WRONLY | O_CREAT | O_EXCL,
};

/** A file may be replaced by ours, or by a synchronising drive, just while it is opened. */
const TRIES = 5;

/**
 * Opens a plain file below `root`. What was opened is judged afterwards, before a byte is read or written: the path must
 * lead to that very file, by plain folders. So a link that is put there between a look and the opening gives nothing.
 *
 * @throws {MeasureError} `not-plain`, `hard-link`; what the system says, as ENOENT
 */
export async function openPlain(root: string, path: string, how: How): Promise<FileHandle> {
  for (let n = 0; n < TRIES; n++) {
    const before = await foundAt(root, path);
    if (before && !before.isFile() && how !== "new") throw notPlain(root, path, before);
    const handle = await open(path, FLAGS[how] | NO_LINK_NO_WAIT, 0o666);
    try {
      const opened = await handle.stat();
      if (opened.isFile() && (await isAt(root, path, handle, opened))) {
        if ((how === "append" || how === "change") && opened.nlink > 1) throw hardLink(root, path);
        return handle;
      }
    } catch (error) {
      await handle.close();
      throw error;
    }
    await handle.close();
  }
  throw refused(root, path, "is being replaced again and again", "a plain file");
}

/**
 * Whether what was opened is what the path leads to by plain folders. Linux names the file that was opened; elsewhere
 * looks at the path must do, between which somebody quick enough could swap a folder for a link and back, twice.
 */
async function isAt(root: string, path: string, handle: FileHandle, opened: Stats): Promise<boolean> {
  const name = await readlink(`/proc/self/fd/${handle.fd}`).catch(() => null);
  if (name !== null) return name === join(await realpath(root), relative(root, path));
  const named = await foundAt(root, path);
  await plainWay(root, path);
  return named !== null && named.ino === opened.ino && named.dev === opened.dev;
}

/**
 * What is at a path below `root`, itself not followed; null when there is nothing.
 *
 * @throws {MeasureError} `not-plain` when a folder on the way is a link
 */
export async function foundAt(root: string, path: string): Promise<Stats | null> {
  await plainWay(root, path);
  return lookAt(path);
}

/**
 * Holds every folder between `root` and what `path` names to be one. Node can open nothing relative to an open folder,
 * so for what has no handle (renaming, removing, making a folder) somebody who may write there could still swap a folder
 * for a link between this look and the call.
 *
 * @throws {MeasureError} `not-plain`
 */
export async function plainWay(root: string, path: string): Promise<void> {
  const inside = relative(root, path);
  if (leadsOut(inside)) throw new Error(`${path} is not inside ${root}`);
  let at = resolve(root);
  for (const part of inside.split(sep).slice(0, -1)) {
    at = join(at, part);
    const found = await lookAt(at);
    if (found && !found.isDirectory()) throw notPlain(root, at, found, "folder");
  }
}

/** Whether a relative path leads out of where it begins; a name may begin with two dots. */
export function leadsOut(inside: string): boolean {
  return inside === ".." || inside.startsWith(`..${sep}`) || isAbsolute(inside);
}

async function lookAt(path: string): Promise<Stats | null> {
  try {
    return await lstat(path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT" || code === "ENOTDIR") return null;
    throw error;
  }
}

export function notPlain(
  root: string,
  path: string,
  found: Stats,
  wanted: "file" | "folder" = "file",
): MeasureError {
  const is = found.isSymbolicLink()
    ? "is a link"
    : found.isDirectory()
      ? "is a folder"
      : found.isFile()
        ? "is a file"
        : "is a pipe or a device";
  return refused(root, path, is, `a plain ${wanted}`);
}

function refused(root: string, path: string, is: string, wanted: string): MeasureError {
  const name = nameIn(root, path);
  return new MeasureError(
    "not-plain",
    `${path} ${is}; it must be ${wanted}`,
    `"${name}" of this study ${is}. Blademark follows no links inside a study and reads only plain files, so that a study can reach nothing outside its folder. Put ${wanted} in its place, or take it away.`,
    { name },
  );
}

function hardLink(root: string, path: string): MeasureError {
  const name = nameIn(root, path);
  return new MeasureError(
    "hard-link",
    `${path} has more than one name`,
    `"${name}" of this study is the same file as another one elsewhere, which would be changed with it. Put a copy in its place.`,
    { name },
  );
}

/** @throws {MeasureError} `too-large` */
export function mustFit(root: string, path: string, bytes: number, most: number): void {
  if (bytes <= most) return;
  const name = nameIn(root, path);
  throw new MeasureError(
    "too-large",
    `${path} has ${bytes} bytes; at most ${most} are read`,
    `"${name}" of this study has ${megabytes(bytes)}, and no such file has more than ${megabytes(most)}. It was not read.`,
    { name },
  );
}

function megabytes(bytes: number): string {
  return `${Math.ceil(bytes / 1e6)} MB`;
}

function nameIn(root: string, path: string): string {
  return relative(root, path).split(sep).join("/");
}
