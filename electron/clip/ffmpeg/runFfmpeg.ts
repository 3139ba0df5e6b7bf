import { spawn } from "node:child_process";
import { setPriority } from "node:os";
import type { Readable } from "node:stream";
import { MeasureError } from "../../../src/errors.ts";
import { boundedLines } from "./boundedLines.ts";
import { confined, environment } from "./confine.ts";
import { type DecodedFrame, type DecodeLog, readDecodeLog, secretName } from "./decodeLog.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import type { Container } from "./stated.ts";

/**
 * Containers that hold video. Everything else is refused before it is read: ffmpeg also takes playlists and
 * script-like text files, which could make it open other files of this machine.
 */
const CONTAINERS = [
  ..."mov,mp4,m4a,3gp,3g2,mj2 matroska,webm avi mpegts mpeg mpegvideo asf flv live_flv mxf ogg nut dv".split(
    " ",
  ),
  ..."h264 hevc m4v mjpeg ivf yuv4mpegpipe wtv gif apng swf rm av1 obu mpjpeg".split(" "),
].join(",");

/** One piece of memory, and one picture: more than any camera's (12K), less than what a made-up header asks for. */
const MOST_BYTES = String(2 ** 30);
const MOST_PIXELS = String(100e6);

/**
 * Before `-i`: what the log reader reads, and which files may be opened. Times are the file's own, not moved to begin
 * at 0, so that a run that begins later names the same times. The filters are kept when the stream changes its pixels'
 * format in the middle: built anew they would count frames from 0 again.
 */
export function inputOptions(container: Container): string[] {
  return [
    ...["-reinit_filter", "0", "-copyts"],
    ...["-loglevel", "repeat+level+info"],
    ...["-protocol_whitelist", "file,pipe", "-format_whitelist", CONTAINERS],
    ...["-max_alloc", MOST_BYTES, "-max_pixels", MOST_PIXELS],
    ...(container === "other" ? [] : ["-f", container]),
  ];
}

/** V: the clip's own pictures, not a cover picture attached to it. */
export const ONE_STREAM = ["-map", "0:V:0", "-an", "-sn", "-dn"];

/** The first of the clip's sounds. */
export const ONE_SOUND = ["-map", "0:a:0", "-vn", "-sn", "-dn"];

/** A run that neither says nor gives anything for so long is ended. A 4K frame takes a tenth of a second. */
export const SILENCE_MS = 60_000;

/** A run that says much but gives neither a frame nor a packet for so many times as long is ended as well. */
const TALK = 10;

export interface FfmpegRequest {
  /** Absolute path. Given to ffmpeg as `file:PATH`, so no name is ever an option or an address. */
  readonly file: string;
  /** What the file is by its first bytes; ffmpeg is not to take it for anything else. */
  readonly container: Container;
  /** What the filter that prints the times is named in this run (`secretName`); absent = there is none. */
  readonly timesName?: string;
  /** Before `-i`, e.g. where to begin. */
  readonly input?: readonly string[];
  /** What of the file is read; absent = `ONE_STREAM`. */
  readonly stream?: readonly string[];
  /** Everything after the stream was chosen: filters, codec, format, destination. */
  readonly output: readonly string[];
  readonly onFrame: (frame: DecodedFrame) => void;
  /** Ends the run, by the process's own id. */
  readonly signal?: AbortSignal | undefined;
  readonly silenceMs?: number;
}

export interface FfmpegEnd {
  readonly log: DecodeLog;
  readonly code: number | null;
}

export interface FfmpegRun {
  readonly output: Readable;
  /** Descriptor 3, for a muxer that lists packets. To be listened to at once: it flows. */
  readonly packets: Readable;
  readonly log: DecodeLog;
  /**
   * Resolves when the process has ended and all it said has been read.
   *
   * @throws {MeasureError} `no-ffmpeg` when it cannot be started; `ffmpeg-killed`, `ffmpeg-hung` when it did not end by itself
   */
  readonly ended: Promise<FfmpegEnd>;
  /** Ends this child only; not an error. */
  kill(): void;
}

/** One ffmpeg process over one clip, at low priority, without a shell. */
export function runFfmpeg(ffmpeg: Ffmpeg, request: FfmpegRequest): FfmpegRun {
  const { file, container, timesName = secretName(), input = [], stream = ONE_STREAM, output } = request;
  const { onFrame, signal, silenceMs = SILENCE_MS } = request;
  const { program, args } = confined(
    ffmpeg.cage,
    ffmpeg.path,
    [
      ...["-hide_banner", "-nostdin", "-nostats", ...inputOptions(container), ...input, "-i", `file:${file}`],
      ...[...stream, ...output],
    ],
    file,
  );
  const child = spawn(program, args, {
    stdio: ["ignore", "pipe", "pipe", "pipe"],
    windowsHide: true,
    env: environment(),
  });
  const [, stdout, stderr, packets] = child.stdio as unknown as [null, Readable, Readable, Readable];
  if (child.pid) lowerPriority(child.pid);

  let asked = false;
  let hung = false;
  const kill = () => {
    asked = true;
    child.kill("SIGKILL");
  };
  if (signal?.aborted) kill();
  signal?.addEventListener("abort", kill, { once: true });

  let heard = Date.now();
  let progressed = Date.now();
  const watch = setInterval(
    () => {
      // Nobody reading what it gives is our slowness, not its.
      if (stdout.readableLength > 0) progress();
      if (Date.now() - heard < silenceMs && Date.now() - progressed < TALK * silenceMs) return;
      hung = true;
      child.kill("SIGKILL");
    },
    Math.max(10, silenceMs / 10),
  );
  function progress(): void {
    heard = progressed = Date.now();
  }
  stdout.on("error", () => undefined);
  packets.on("error", () => undefined);
  stderr.on("data", () => {
    heard = Date.now();
  });
  packets.on("data", progress);

  const { log, line } = readDecodeLog(timesName, (frame) => {
    progress();
    onFrame(frame);
  });
  const said = boundedLines(stderr, line);
  const exited = new Promise<{ code: number | null; by: string | null }>((resolve, reject) => {
    child.on("error", (error) => reject(notStarted(ffmpeg.path, error)));
    child.on("exit", (code, by) => {
      // So answers a shell, or what the program is started in, when there is no such program.
      if (code === 127 || code === 126)
        return reject(notStarted(ffmpeg.path, new Error("it is not there, or may not be run")));
      // Bubblewrap gives back its child's signal as a number.
      const signalled = ffmpeg.cage === "bubblewrap" && code !== null && code > 128;
      resolve(signalled ? { code: null, by: `signal ${code - 128}` } : { code, by });
    });
  }).finally(() => {
    clearInterval(watch);
    signal?.removeEventListener("abort", kill);
  });
  const ended = Promise.all([exited, said]).then(([{ code, by }]) => {
    if (hung) throw hungUp(file, silenceMs);
    if (by !== null && !asked) throw killed(file, by);
    return { log, code };
  });
  // Whoever asks for `ended` gets the failure; nobody asking must not end the host.
  ended.catch(() => undefined);
  return { output: stdout, packets, log, ended, kill };
}

function notStarted(path: string, error: Error): MeasureError {
  return new MeasureError(
    "no-ffmpeg",
    `${path} cannot be started: ${error.message}`,
    `The program that reads video (${path}) cannot be started. Install ffmpeg again, or set BLADEMARK_FFMPEG to the full path of one, then prepare the clip again.`,
  );
}

function killed(file: string, by: string): MeasureError {
  return new MeasureError(
    "ffmpeg-killed",
    `ffmpeg was ended by ${by} while reading ${file}`,
    "The program that reads video was ended by something else on this machine, perhaps because memory was short. Frames that are ready stay usable; prepare the clip again to go on.",
  );
}

function hungUp(file: string, silenceMs: number): MeasureError {
  return new MeasureError(
    "ffmpeg-hung",
    `ffmpeg said nothing for ${silenceMs} ms while reading ${file}`,
    `The program that reads video got stuck on this clip and was ended after ${Math.round(silenceMs / 1000)} s. Frames that are ready stay usable. Copy the clip again, or convert it.`,
  );
}

/** Low, not lowest: on a busy machine the lowest gets almost nothing, and the coach is waiting for this clip. */
export const NICE = 10;

/** Keeps stepping through frames smooth while a clip is being prepared. Not allowed everywhere; then it runs as usual. */
function lowerPriority(pid: number): void {
  try {
    setPriority(pid, NICE);
  } catch {
    // Already ended, or not permitted: only comfort is lost.
  }
}
