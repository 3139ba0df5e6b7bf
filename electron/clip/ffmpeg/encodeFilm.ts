import { spawn } from "node:child_process";
import { randomBytes } from "node:crypto";
import { open, rename, rm } from "node:fs/promises";
import { setPriority } from "node:os";
import { basename, dirname, join } from "node:path";
import { MeasureError } from "../../../src/errors.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import { NICE } from "./runFfmpeg.ts";

export interface DrawnFilm {
  /** Even numbers of px. */
  readonly width: number;
  readonly height: number;
  /** Frames a second. */
  readonly rate: number;
  /** How many pictures there are. */
  readonly count: number;
  /** Gives picture after picture as RGBA, row by row; each is asked for when the one before was taken. */
  draw(j: number): Promise<Uint8Array>;
}

/**
 * What any phone plays: H.264 High, 4:2:0, level 4.0, constant rate, colours as BT.709 says, the list of frames at the
 * file's beginning. Nothing of this machine in it.
 */
function phoneOptions(rate: number): string[] {
  return [
    ...["-an", "-sn", "-dn", "-map_metadata", "-1", "-fflags", "+bitexact", "-flags:v", "+bitexact"],
    ...["-vf", "scale=out_color_matrix=bt709:out_range=tv,format=yuv420p"],
    ...["-c:v", "libx264", "-preset", "fast", "-crf", "19", "-profile:v", "high", "-level:v", "4.0"],
    ...["-g", String(rate), "-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709"],
    ...["-color_range", "tv", "-movflags", "+faststart", "-f", "mp4"],
  ];
}

/**
 * Writes pictures as an MP4: a file beside `out` that takes its name when it is whole, and is gone when anything fails.
 *
 * @param signal ends it, by the process's own id
 * @throws {MeasureError} `not-written`, `disk-full`, `no-ffmpeg`, `no-h264`; `cancelled` after the signal
 */
export async function encodeFilm(
  ffmpeg: Ffmpeg,
  out: string,
  film: DrawnFilm,
  signal?: AbortSignal,
): Promise<void> {
  const unfinished = join(dirname(out), `.${randomBytes(6).toString("hex")}.unfinished.mp4`);
  try {
    // The folder's own answer is plainer than ffmpeg's.
    await (await open(unfinished, "wx")).close();
    await run(ffmpeg, unfinished, film, signal);
    if (signal?.aborted) throw cancelled(out);
    await rename(unfinished, out);
  } catch (error) {
    await rm(unfinished, { force: true });
    throw signal?.aborted ? cancelled(out) : inWords(out, error);
  }
}

async function run(
  ffmpeg: Ffmpeg,
  file: string,
  film: DrawnFilm,
  signal: AbortSignal | undefined,
): Promise<void> {
  const { width, height, rate, count } = film;
  const child = spawn(
    ffmpeg.path,
    [
      ...["-hide_banner", "-nostats", "-loglevel", "error", "-y", "-protocol_whitelist", "file,pipe"],
      ...["-f", "rawvideo", "-pix_fmt", "rgba", "-s", `${width}x${height}`, "-r", String(rate)],
      ...["-i", "pipe:0", ...phoneOptions(rate), `file:${file}`],
    ],
    { stdio: ["pipe", "ignore", "pipe"], windowsHide: true },
  );
  let said = "";
  child.stderr.on("data", (part: Buffer) => {
    said = `${said}${part.toString()}`.slice(-4000);
  });
  const ended = new Promise<number | null>((resolve, reject) => {
    child.on("error", (error) => reject(notStarted(ffmpeg.path, error)));
    child.on("close", resolve);
  });
  // Writing to a process that has ended fails or not; why it ended is what matters.
  let over = false;
  const isOver = () => {
    over = true;
  };
  ended.then(isOver, isOver);
  child.stdin.on("error", isOver);
  if (child.pid) {
    try {
      setPriority(child.pid, NICE);
    } catch {
      // Already ended, or not permitted: only comfort is lost.
    }
  }
  const stop = () => child.kill("SIGKILL");
  signal?.addEventListener("abort", stop, { once: true });
  try {
    for (let j = 0; j < count && !over && !signal?.aborted; j++) {
      const picture = await film.draw(j);
      // Resolves when the pipe has taken it, or the process has ended: never more than one picture waits.
      await Promise.race([new Promise((taken) => child.stdin.write(picture, taken)), ended]);
    }
    const early = over;
    if (signal?.aborted) stop();
    child.stdin.end();
    const code = await ended;
    if (!signal?.aborted && (code !== 0 || early)) throw failed(said, code);
  } catch (error) {
    stop();
    await ended.catch(() => undefined);
    throw error;
  } finally {
    signal?.removeEventListener("abort", stop);
  }
}

class EncoderFailed extends Error {}

function failed(said: string, code: number | null): Error {
  if (/No space left on device|ENOSPC/i.test(said)) return Object.assign(new Error(said), { code: "ENOSPC" });
  if (/Unknown encoder|Encoder not found|Error initializing output stream.*libx264/i.test(said))
    return new MeasureError(
      "no-h264",
      `encodeFilm needs libx264: ${said}`,
      "The ffmpeg on this machine can't write H.264 video, which phones play. Install a usual build of ffmpeg (Debian, Ubuntu: sudo apt install ffmpeg; macOS: brew install ffmpeg; Windows: winget install ffmpeg).",
    );
  return new EncoderFailed(`ffmpeg ended with ${code}: ${said.trim() || "it gave no reason"}`);
}

function inWords(out: string, error: unknown): Error {
  const { code } = error as NodeJS.ErrnoException;
  if (error instanceof MeasureError) return error;
  if (code === "ENOSPC")
    return new MeasureError(
      "disk-full",
      `no space left for ${out}`,
      `The disk is full, so ${basename(out)} could not be written. Free some space (about 1 MB a second of film), or choose another place.`,
    );
  if (error instanceof EncoderFailed)
    return new MeasureError(
      "not-written",
      error.message,
      `${basename(out)} could not be written: the program that writes video stopped (${error.message.split("\n")[0]}).`,
    );
  if (code === undefined) return error as Error;
  return new MeasureError(
    "not-written",
    `cannot write ${out}: ${code}`,
    `${out} can't be written. Check that its folder is there and may be written to.`,
  );
}

export function cancelled(out: string): MeasureError {
  return new MeasureError("cancelled", `writing ${out} was cancelled`, "Stopped. No clip was written.");
}

function notStarted(path: string, error: Error): MeasureError {
  return new MeasureError(
    "no-ffmpeg",
    `${path} cannot be started: ${error.message}`,
    `The program that writes video (${path}) cannot be started. Install ffmpeg again, or set BLADEMARK_FFMPEG to the full path of one.`,
  );
}
