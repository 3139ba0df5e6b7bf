import command from "fluent-ffmpeg";
import { MeasureError } from "../../../src/errors.ts";
import { checkClipFile, nothingDecoded } from "./clipFailure.ts";
import { SQUARE, turning } from "./decode.ts";
import { namedFilter, readDecodeLog, secretName } from "./decodeLog.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import { inputOptions, NICE, ONE_STREAM } from "./runFfmpeg.ts";
import { stated } from "./stated.ts";

/**
 * Exactly frame `n` of a clip as PNG: the clip is decoded from its start and the n-th frame kept. Nothing seeks.
 *
 * @throws {MeasureError} `no-such-frame`, or what is wrong with the file
 */
export async function stillFrame(ffmpeg: Ffmpeg, file: string, n: number): Promise<Buffer> {
  await checkClipFile(file);
  const header = await stated(file);
  const turned = turning(header);
  const name = secretName();
  const reader = readDecodeLog(name, () => undefined);
  const parts: Buffer[] = [];
  await new Promise<void>((resolve) => {
    const run = command({ source: `file:${file}`, niceness: NICE })
      .setFfmpegPath(ffmpeg.path)
      .inputOptions([...inputOptions(header.container), ...turned.input])
      .outputOptions([
        ...ONE_STREAM,
        ...[
          "-vf",
          `${turned.filters}${namedFilter(ffmpeg.showTimes, name)},select='eq(n\\,${n})',${SQUARE},format=rgb24`,
        ],
        ...[...ffmpeg.passThrough, "-frames:v", "1", "-c:v", "png", "-f", "image2pipe"],
      ])
      .on("stderr", reader.line)
      // Why it failed is in what it said; without a picture that is looked at below.
      .on("error", () => resolve())
      .on("end", () => resolve());
    run.pipe().on("data", (part: Buffer) => parts.push(part));
  });
  const png = Buffer.concat(parts);
  if (png.length > 0) return png;
  const { frames } = reader.log;
  if (frames === 0) throw await nothingDecoded(file, reader.log);
  throw new MeasureError(
    "no-such-frame",
    `stillFrame needs a frame from 0 to ${frames - 1}; got ${n}`,
    `The clip has ${frames} frames, 0 to ${frames - 1}; there is no frame ${n}.`,
    { frames },
  );
}
