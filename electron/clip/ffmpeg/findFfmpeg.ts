import { execFile } from "node:child_process";
import { existsSync } from "node:fs";
import { stat } from "node:fs/promises";
import { createRequire } from "node:module";
import { delimiter, isAbsolute, join } from "node:path";
import { promisify } from "node:util";
import { MeasureError } from "../../../src/errors.ts";
import { type Cage, cageFor } from "./confine.ts";

const run = promisify(execFile);
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

/** What was found out of a program file that is still the same: starting it four times costs most of a second. */
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

async function tryOut(origin: Ffmpeg["origin"], path: string): Promise<Ffmpeg | null> {
  try {
    const [version, options, filter, cage] = await Promise.all([
      run(path, ["-hide_banner", "-version"]),
      run(path, ["-hide_banner", "-h", "long"], { maxBuffer: 64 * 2 ** 20 }),
      run(path, ["-hide_banner", "-h", "filter=showinfo"]),
      cageFor(path),
    ]);
    return {
      origin,
      path,
      cage,
      version: /ffmpeg version (\S+)/.exec(version.stdout)?.[1] ?? "unknown",
      passThrough: /^-fps_mode\b/m.test(options.stdout)
        ? ["-fps_mode", "passthrough"]
        : ["-vsync", "passthrough"],
      showTimes: /\bchecksum\b/.test(filter.stdout) ? "showinfo=checksum=0" : "showinfo",
    };
  } catch {
    return null;
  }
}
