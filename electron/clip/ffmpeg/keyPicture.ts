import type { HandTurn } from "../../../src/study/types.ts";
import { byHand, SQUARE, turning } from "./decode.ts";
import { namedFilter, secretName } from "./decodeLog.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import { runFfmpeg } from "./runFfmpeg.ts";
import type { Stated } from "./stated.ts";

export interface KeyPicture {
  readonly jpeg: Buffer;
  /** The picture's own time in the file, seconds; null = the file gives none. */
  readonly at: number | null;
}

interface Wanted {
  readonly file: string;
  readonly stated: Stated;
  /** Seconds, the file's own time; null = the first picture there is. */
  readonly seekTo: number | null;
  /** Of the picture, px; its width follows. */
  readonly height: number;
  readonly turn: 0 | HandTurn;
}

/** One small picture: whoever waits longer for it sees none. */
const MOST_MS = 8000;

/**
 * The key frame at or before a moment of a clip, small: what can be seen of a long clip before it is decoded. Never a frame to
 * mark on, and it has no number.
 *
 * @returns null when there is none
 */
export async function keyPicture(
  ffmpeg: Ffmpeg,
  { file, stated, seekTo, height, turn }: Wanted,
  signal: AbortSignal,
): Promise<KeyPicture | null> {
  const timesName = secretName();
  const turned = turning(stated);
  const seek = seekTo === null ? [] : ["-noaccurate_seek", "-seek_timestamp", "1", "-ss", seekTo.toFixed(3)];
  let pts: number | null = null;
  let frames = 0;
  const run = runFfmpeg(ffmpeg, {
    file,
    container: stated.container,
    timesName,
    // One thread: more take longer to start than this one picture takes.
    input: [...turned.input, "-threads", "1", ...(seekTo === null ? [] : ["-skip_frame", "nokey"]), ...seek],
    output: [
      "-vf",
      `${turned.filters}${namedFilter(ffmpeg.showTimes, timesName)},${SQUARE}${byHand(turn)},scale=-2:${height}:flags=fast_bilinear,format=yuvj420p`,
      ...ffmpeg.passThrough,
      ...["-frames:v", "1", "-c:v", "mjpeg", "-q:v", "5", "-f", "image2pipe", "pipe:1"],
    ],
    onFrame: (frame) => {
      if (frames++ === 0) pts = frame.pts;
    },
    signal: AbortSignal.any([signal, AbortSignal.timeout(MOST_MS)]),
  });
  run.packets.resume();
  const parts: Buffer[] = [];
  for await (const part of run.output as AsyncIterable<Buffer>) parts.push(part);
  const { log } = await run.ended;
  const jpeg = Buffer.concat(parts);
  if (jpeg.length === 0) return null;
  const base = log.timebase;
  return { jpeg, at: pts === null || !base ? null : (pts * base.num) / base.den };
}
