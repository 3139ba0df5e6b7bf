import { copyFile, mkdir, readFile } from "node:fs/promises";
import { basename, dirname, join, relative } from "node:path";
import { MeasureError } from "../../src/errors.ts";

export interface ReadDocument<T> {
  /** null: there is no such document, or nothing of it could be saved. */
  readonly value: T | null;
  readonly notices: readonly string[];
  /** Written by a newer Blademark: shown, never written. */
  readonly newer: boolean;
  /** A damaged file could not be set aside, so it must not be written over. */
  readonly untouchable: boolean;
}

interface Place {
  readonly study: string;
  /** The file itself and the copy that was kept of it when it was last good. */
  readonly file: string;
  readonly lastGood: string;
  readonly now: Date;
}

const VERSION = 1;

/**
 * Reads one document of a study. A damaged file is copied into `damaged/` before anything else happens to it, and the
 * last good copy takes its place in memory; the person is told both.
 */
export async function readDocument<T>(place: Place, parse: (json: unknown) => T): Promise<ReadDocument<T>> {
  const name = relative(place.study, place.file).split("\\").join("/");
  const plain = { notices: [], newer: false, untouchable: false };
  const text = await readText(place.file);
  if (text === null) {
    const kept = await readGood(place.lastGood, parse);
    if (!kept) return { ...plain, value: null };
    return { ...plain, value: kept, notices: [`${name} was missing. The last good copy was used instead.`] };
  }
  let why: string;
  try {
    const json: unknown = JSON.parse(text);
    if (isNewer(json)) return { ...plain, ...newer(name, json, parse) };
    return { ...plain, value: parse(json) };
  } catch (error) {
    if (error instanceof MeasureError && error.code === "newer-version") throw error;
    why = error instanceof MeasureError ? error.coach : "It is not a complete JSON document.";
  }
  const aside = await setAside(place);
  const kept = await readGood(place.lastGood, parse);
  return {
    value: kept,
    newer: false,
    untouchable: aside === null,
    notices: [
      `${name} is damaged. ${why} ${aside ? `It was kept as ${aside}.` : "It could not be copied, so nothing will be written over it."} ${
        kept ? "The last good copy is shown instead." : "There is no good copy of it."
      }`,
    ],
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

async function readText(file: string): Promise<string | null> {
  try {
    return await readFile(file, "utf8");
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT") return null;
    throw new MeasureError(
      "unreadable",
      `cannot read ${file}: ${code}`,
      `${file} cannot be read (${code}). Check that you may read it and that the disk is there.`,
    );
  }
}

async function readGood<T>(file: string, parse: (json: unknown) => T): Promise<T | null> {
  try {
    return parse(JSON.parse(await readFile(file, "utf8")));
  } catch {
    return null;
  }
}

/** @returns the copy's path inside the study, null when it could not be made */
async function setAside({ study, file, now }: Place): Promise<string | null> {
  const stamp = now.toISOString().replace(/[:.]/g, "-");
  const folder = join(study, "damaged");
  const copy = join(folder, `${basename(file, ".json")} ${stamp}.json`);
  try {
    await mkdir(folder, { recursive: true });
    await copyFile(file, copy);
    return `${basename(dirname(copy))}/${basename(copy)}`;
  } catch {
    return null;
  }
}
