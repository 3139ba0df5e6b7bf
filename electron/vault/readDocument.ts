import { basename, join, relative } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { type Disk, DOCUMENT_BYTES } from "../disk/disk.ts";
import { readGood } from "./lastGood.ts";
import { places, sha256, stamp } from "./places.ts";
import { unreadable } from "./unreadable.ts";

export interface ReadDocument<T> {
  /** null: there is no such document, or nothing of it could be saved. */
  readonly value: T | null;
  readonly notices: readonly string[];
  /** Written by a newer Blademark: shown, never written. */
  readonly newer: boolean;
  /** A damaged file could not be set aside, so it must not be written over. */
  readonly untouchable: boolean;
  /** SHA-256 of the file's text; null when there is no file. */
  readonly sha256: string | null;
  /** SHA-256 of the good copy that is shown in the file's place; null when the file itself is. */
  readonly copy: string | null;
  /** What is wrong with the file; null when nothing is, or there is no file. */
  readonly why: string | null;
  /** The file is not what was written last, yet nobody has written it since. */
  readonly changedUnseen: boolean;
}

interface Place {
  readonly study: string;
  /** The file itself and the copy that was kept of it when it was last good. */
  readonly file: string;
  readonly lastGood: string;
  readonly now: Date;
  readonly disk: Disk;
}

const VERSION = 1;

/**
 * Reads one document of a study. A damaged file is copied into `damaged/` before anything else happens to it, and the
 * last good copy takes its place in memory; the person is told both.
 */
export async function readDocument<T>(place: Place, parse: (json: unknown) => T): Promise<ReadDocument<T>> {
  const name = relative(place.study, place.file).split("\\").join("/");
  const bytes = await readBytes(place);
  if (bytes instanceof MeasureError) return unread(place, bytes, parse);
  const sum = bytes && sha256(bytes);
  const plain = {
    notices: [],
    newer: false,
    untouchable: false,
    sha256: sum,
    copy: null,
    why: null,
    changedUnseen: false,
  };
  if (bytes === null) {
    const kept = await readGood(place.lastGood, parse, place.disk);
    if (!kept) return { ...plain, value: null };
    return {
      ...plain,
      copy: sha256(kept.text),
      value: kept.value,
      notices: [`${name} was missing. The last good copy was used instead.`],
    };
  }
  let why: string;
  try {
    const json: unknown = JSON.parse(textOrDamage(bytes));
    if (isNewer(json)) return { ...plain, ...newer(name, json, parse) };
    const value = parse(json);
    const flipped = await changedUnseen(place, sum);
    return { ...plain, value, changedUnseen: flipped, notices: flipped ? [changedWords(name)] : [] };
  } catch (error) {
    if (error instanceof MeasureError && error.code === "newer-version") throw error;
    why = error instanceof MeasureError ? error.coach : "It is not a complete JSON document.";
  }
  const aside = await setAside(place, sum);
  const kept = await readGood(place.lastGood, parse, place.disk);
  return {
    value: kept?.value ?? null,
    newer: false,
    why,
    changedUnseen: false,
    untouchable: aside === null,
    sha256: sum,
    copy: kept ? sha256(kept.text) : null,
    notices: [
      `${name} is damaged. ${why} ${aside ? `It was kept as ${aside}.` : "It could not be copied, so nothing will be written over it."} ${
        kept ? "The last good copy is shown instead." : "There is no good copy of it."
      }`,
    ],
  };
}

/** What stands in the document's place is none and is left alone; a good copy is shown. */
async function unread<T>(
  { lastGood, disk }: Place,
  { coach }: MeasureError,
  parse: (json: unknown) => T,
): Promise<ReadDocument<T>> {
  const kept = await readGood(lastGood, parse, disk);
  const shown = kept ? "The last good copy is shown instead" : "There is no good copy of it";
  return {
    value: kept?.value ?? null,
    newer: false,
    untouchable: true,
    sha256: null,
    changedUnseen: false,
    copy: kept ? sha256(kept.text) : null,
    why: coach,
    notices: [`${coach} ${shown}, and nothing is written.`],
  };
}

function isNewer(json: unknown): json is { version: number } {
  const version = (json as { version?: unknown } | null)?.version;
  return typeof version === "number" && version > VERSION;
}

/** Shows what this version understands of a newer document. */
function newer<T>(name: string, json: { version: number }, parse: (json: unknown) => T) {
  try {
    return {
      value: parse({ ...json, version: VERSION }),
      newer: true,
      notices: [
        `${name} was written by a newer Blademark (document version ${json.version}). It is open for reading only; get the newer version to change it.`,
      ],
    };
  } catch {
    throw new MeasureError(
      "newer-version",
      `${name} has document version ${json.version}; this program reads up to ${VERSION}`,
      `${name} was written by a newer Blademark (document version ${json.version}) and cannot be shown by this one. Nothing was changed. Get the newer version.`,
    );
  }
}

/** @returns null when there is no file; why it was refused: it is no plain file, or too large for a document */
async function readBytes({ file, disk }: Place): Promise<Uint8Array | MeasureError | null> {
  try {
    return await disk.read(file, DOCUMENT_BYTES);
  } catch (error) {
    if (error instanceof MeasureError) return error;
    throw unreadable(file, error);
  }
}

/** Bytes that are no UTF-8 are damage; read leniently they would turn into another text that still looks whole. */
function textOrDamage(bytes: Uint8Array): string {
  return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
}

/**
 * The file is not what was written last, yet nobody has written it since: bits that have flipped on the disk. The last
 * good copy is written after the file (a quick disk stamps both with one tick), so an edit by hand is younger.
 */
async function changedUnseen({ file, lastGood, disk }: Place, sum: string | null): Promise<boolean> {
  const copy = await disk.read(lastGood, DOCUMENT_BYTES).catch(() => null);
  if (copy === null || sha256(copy) === sum) return false;
  const [of, good] = await Promise.all([disk.look(file), disk.look(lastGood)]);
  return of !== null && good !== null && of.mtimeMs <= good.mtimeMs;
}

function changedWords(name: string): string {
  return `${name} is not as Blademark wrote it, though its date says that nobody has changed it since. The disk may be failing: compare its numbers with last-good/${name}, and copy the study to another disk.`;
}

/**
 * Keeps a copy of a damaged document, once: whoever reads the study again finds it there.
 *
 * @returns the copy's path inside the study, null when it could not be made
 */
async function setAside({ study, file, now, disk }: Place, sum: string | null): Promise<string | null> {
  const folder = places(study).damaged;
  try {
    await disk.makeFolder(folder);
    for (const name of await disk.list(folder)) {
      if (!name.startsWith(`${basename(file, ".json")} `)) continue;
      const before = await disk.read(join(folder, name), DOCUMENT_BYTES).catch(() => null);
      if (before !== null && sha256(before) === sum) return `damaged/${name}`;
    }
    return `damaged/${basename(await copyAs(file, folder, `${basename(file, ".json")} ${stamp(now)}`, disk))}`;
  } catch {
    return null;
  }
}

/** Copies a file under a new name, counting on where that is taken (a clock may have been set back). */
export async function copyAs(file: string, folder: string, stem: string, disk: Disk): Promise<string> {
  for (let n = 1; ; n++) {
    const to = join(folder, `${stem}${n === 1 ? "" : ` ${n}`}.json`);
    try {
      await disk.copy(file, to);
      return to;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== "EEXIST" || n > 1000) throw error;
    }
  }
}
