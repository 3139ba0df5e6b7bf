import { existsSync } from "node:fs";
import { stat } from "node:fs/promises";
import { createRequire } from "node:module";
import { delimiter, isAbsolute, join } from "node:path";
import { MeasureError } from "../../../src/errors.ts";
import { type Cage, closestCage } from "./confine.ts";

const requireHere = createRequire(import.meta.url);

/** A usable ffmpeg and how this build spells what we need (builds from 2018 on are met in the field). */
export interface Ffmpeg {
  readonly path: string;
  readonly origin: "BLADEMARK_FFMPEG" | "ffmpeg-static" | "system" | "@ffmpeg-installer/ffmpeg";
  readonly version: string;
  /** Output option that passes every frame through, none doubled, none dropped. */
  readonly passThrough: readonly [string, string];
  /** The filter that prints each frame's time; its checksums cost as much as the decode where they cannot be turned off. */
  readonly showTimes: string;
  readonly cage: Cage;
}

/** A place to look in; null when there is nothing. Passed in by tests. */
export type Candidate = { readonly origin: Ffmpeg["origin"]; readonly path: string | null };

/**
 * The ffmpeg to use: BLADEMARK_FFMPEG, ffmpeg-static's program if it was downloaded, the system's, else the build in
 * a registry package which the start script fetches on demand.
 *
 * @throws {MeasureError} `no-ffmpeg`
 */
export async function findFfmpeg(candidates: readonly Candidate[] = knownPlaces()): Promise<Ffmpeg> {
  for (const { origin, path } of candidates) {
    if (!path) continue;
    const found = await describe(origin, path);
    if (found) return found;
    // A person who names a program wants that one, not a silent other.
    if (origin === "BLADEMARK_FFMPEG") {
      throw new MeasureError(
        "no-ffmpeg",
        `findFfmpeg needs a program that answers -version; BLADEMARK_FFMPEG is ${path}`,
        `BLADEMARK_FFMPEG is set to ${path}, but that is not an ffmpeg program that runs. Correct it, or unset it to use the system's.`,
      );
    }
  }
  throw new MeasureError(
    "no-ffmpeg",
    "findFfmpeg found no ffmpeg in the environment, in node_modules or on PATH",
    "Blademark reads video through ffmpeg, and none was found. Install it (Debian, Ubuntu: sudo apt install ffmpeg; macOS: brew install ffmpeg; Windows: winget install ffmpeg), or set BLADEMARK_FFMPEG to the full path of an ffmpeg program.",
  );
}

function knownPlaces(): Candidate[] {
  return [
    { origin: "BLADEMARK_FFMPEG", path: process.env.BLADEMARK_FFMPEG || null },
    { origin: "ffmpeg-static", path: fromPackage("ffmpeg-static", unpacked) },
    { origin: "system", path: "ffmpeg" },
    { origin: "@ffmpeg-installer/ffmpeg", path: fromPackage("@ffmpeg-installer/ffmpeg", (m) => m?.path) },
  ];
}

/** In a packed app the program lies beside the archive that holds the rest: nothing can be started inside one. */
function unpacked(path: string): string {
  return path.replace(/\bapp\.asar(?=[/\\])/, "app.asar.unpacked");
}

/** Both packages are optional: neither missing nor half installed is an error here. */
function fromPackage(name: string, pick: (module: { path?: string } & string) => unknown): string | null {
  try {
    const path = pick(requireHere(name));
    return typeof path === "string" && existsSync(path) ? path : null;
  } catch {
    return null;
  }
}

/** What was found out of a program file that is still the same: starting it takes a quarter of a second where it has many libraries. */
const described = new Map<string, Promise<Ffmpeg | null>>();

async function describe(origin: Ffmpeg["origin"], path: string): Promise<Ffmpeg | null> {
  const file = await fileOf(path);
  if (file === null) return tryOut(origin, path);
  const key = `${origin} ${path} ${file}`;
  const found = described.get(key) ?? tryOut(origin, path);
  described.set(key, found);
  const what = await found;
  // What did not run may have been mended without a change of the file: a library it needs, a right.
  if (what === null) described.delete(key);
  return what;
}

/** Which file a program is, as it is now; null where that can't be told. */
async function fileOf(path: string): Promise<string | null> {
  const folders = isAbsolute(path) ? [""] : (process.env.PATH ?? "").split(delimiter).filter(Boolean);
  for (const folder of folders)
    for (const name of process.platform === "win32" ? [path, `${path}.exe`] : [path]) {
      const file = folder === "" ? name : join(folder, name);
      const is = await stat(file).catch(() => null);
      if (is?.isFile()) return `${file} ${is.ino} ${is.size} ${is.mtimeMs} ${is.ctimeMs}`;
    }
  return null;
}

/** One start tells all: with its full help a program prints its version, its options and those of its filters. */
async function tryOut(origin: Ffmpeg["origin"], path: string): Promise<Ffmpeg | null> {
  const found = await closestCage(path, ["-h", "full"]);
  if (!found) return null;
  const { cage, said } = found;
  return {
    origin,
    path,
    cage,
    version: /ffmpeg version (\S+)/.exec(said)?.[1] ?? "unknown",
    passThrough: /^-fps_mode\b/m.test(said) ? ["-fps_mode", "passthrough"] : ["-vsync", "passthrough"],
    // Options stand indented under their filter.
    showTimes: /^showinfo AVOptions:\s*\n(?:[ \t]+.*\n)*?[ \t]+-?checksum\b/m.test(said)
      ? "showinfo=checksum=0"
      : "showinfo",
  };
}
