import { spawn } from "node:child_process";
import { setPriority } from "node:os";
import { createInterface } from "node:readline";
import type { Readable } from "node:stream";
import { type DecodedFrame, type DecodeLog, readDecodeLog } from "./decodeLog.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";

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

/**
 * Before `-i`: what the log reader reads, and which files may be opened. The filters are kept when the stream changes
 * its pixels' format in the middle: built anew they would count frames from 0 again.
 */
export const INPUT_OPTIONS = [
  ...["-reinit_filter", "0"],
  ...["-loglevel", "repeat+level+info"],
  ...["-protocol_whitelist", "file,pipe", "-format_whitelist", CONTAINERS],
];

/** V: the clip's own pictures, not a cover picture attached to it. */
export const ONE_STREAM = ["-map", "0:V:0", "-an", "-sn", "-dn"];

/** Non-square pixels become square by this filter and by `displayedSize` alike: the width follows, rows stay. */
export const SQUARE = "scale=w='max(1\\,round(iw*sar))':h=ih:out_range=full:out_color_matrix=bt601,setsar=1";

/** The picture as displayed: square pixels, rotation already applied by the decode. */
export function displayedSize(frame: DecodedFrame): { readonly width: number; readonly height: number } {
  return { width: Math.max(1, Math.round(frame.width * frame.pixelAspect)), height: frame.height };
}

export interface DecodeRequest {
  /** Absolute path. Given to ffmpeg as `file:PATH`, so no name is ever an option or an address. */
  readonly file: string;
  /** Filters after the one that prints the times, joined by commas; empty = none. */
  readonly filters: string;
  /** Everything after the filters: codec, format, destination. */
  readonly output: readonly string[];
  readonly onFrame: (frame: DecodedFrame) => void;
}

export interface DecodeEnd {
  readonly log: DecodeLog;
  readonly code: number | null;
}

export interface Decode {
  readonly output: Readable;
  /** Descriptor 3, for a muxer that lists packets. */
  readonly packets: Readable;
  readonly log: DecodeLog;
  /** Resolves when the process has ended and all it said has been read. */
  readonly ended: Promise<DecodeEnd>;
  /** Ends this child only. */
  kill(): void;
}

/**
 * One decode of a clip from its start to its end, in order, at low priority: the n-th frame printed is
 * frame n. Nothing seeks.
 */
export function startDecode(ffmpeg: Ffmpeg, { file, filters, output, onFrame }: DecodeRequest): Decode {
  const chain = filters ? `${ffmpeg.showTimes},${filters}` : ffmpeg.showTimes;
  const child = spawn(
    ffmpeg.path,
    [
      ...["-hide_banner", "-nostdin", "-nostats", ...INPUT_OPTIONS, "-i", `file:${file}`],
      ...[...ONE_STREAM, "-vf", chain, ...ffmpeg.passThrough],
      ...output,
    ],
    { stdio: ["ignore", "pipe", "pipe", "pipe"], windowsHide: true },
  );
  const [, stdout, stderr, packets] = child.stdio as unknown as [null, Readable, Readable, Readable];
  if (child.pid) lowerPriority(child.pid);
  const { log, line } = readDecodeLog(onFrame);
  const reader = createInterface({ input: stderr, crlfDelay: Infinity });
  reader.on("line", line);
  const said = new Promise<void>((resolve) => reader.on("close", resolve));
  const exited = new Promise<number | null>((resolve, reject) => {
    child.on("error", reject);
    child.on("exit", resolve);
  });
  return {
    output: stdout,
    packets,
    log,
    ended: Promise.all([exited, said]).then(([code]) => ({ log, code })),
    kill: () => void child.kill("SIGKILL"),
  };
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
