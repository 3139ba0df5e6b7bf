import command from "fluent-ffmpeg";
import { SQUARE } from "./decode.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import { INPUT_OPTIONS, NICE, ONE_STREAM } from "./runFfmpeg.ts";

export interface Crop {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/**
 * A part of exactly frame `n` of a clip as JPEG, for a report. The clip is decoded from its start; nothing seeks.
 *
 * @returns null where the clip has no such frame or cannot be decoded
 */
export async function exportStill(
  ffmpeg: Ffmpeg,
  file: string,
  n: number,
  { x, y, width, height }: Crop,
): Promise<Buffer | null> {
  const parts: Buffer[] = [];
  await new Promise<void>((resolve) => {
    const run = command({ source: `file:${file}`, niceness: NICE })
      .setFfmpegPath(ffmpeg.path)
      .inputOptions(INPUT_OPTIONS)
      .outputOptions([
        ...ONE_STREAM,
        ...["-vf", `select='eq(n\\,${n})',${SQUARE},crop=${width}:${height}:${x}:${y}`],
        ...[...ffmpeg.passThrough, "-frames:v", "1", "-c:v", "mjpeg", "-q:v", "3", "-f", "image2pipe"],
      ])
      // A still that can't be had leaves its drawing without a picture; the report says so.
      .on("error", () => resolve())
      .on("end", () => resolve());
    run.pipe().on("data", (part: Buffer) => parts.push(part));
  });
  const jpeg = Buffer.concat(parts);
  return jpeg.length > 0 ? jpeg : null;
}
