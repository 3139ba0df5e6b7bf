import command, { type FfmpegCommand } from "fluent-ffmpeg";
import { MeasureError } from "../../../src/errors.ts";
import type { HandTurn } from "../../../src/study/types.ts";
import { checkClipFile, nothingDecoded } from "./clipFailure.ts";
import { confined } from "./confine.ts";
import { byHand, SQUARE, turning } from "./decode.ts";
import { namedFilter, readDecodeLog, secretName } from "./decodeLog.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import { inputOptions, NICE, ONE_STREAM, SILENCE_MS } from "./runFfmpeg.ts";
import { stated } from "./stated.ts";

/**
 * Exactly frame `n` of a clip as PNG: the clip is decoded from its start and the n-th frame kept. Nothing seeks.
 *
 * @throws {MeasureError} `no-such-frame`, or what is wrong with the file
 */
export async function stillFrame(
  ffmpeg: Ffmpeg,
  file: string,
  n: number,
  turn: 0 | HandTurn = 0,
): Promise<Buffer> {
  await checkClipFile(file);
  const header = await stated(file);
  const turned = turning(header);
  const name = secretName();
  const reader = readDecodeLog(name, () => undefined);
  const parts: Buffer[] = [];
  // Its program is what ffmpeg is held in; that one's arguments come before ffmpeg's own.
  const { program, args } = confined(ffmpeg.cage, ffmpeg.path, [], file);
  await new Promise<void>((resolve) => {
    const run = uncounted(command({ source: `file:${file}`, niceness: NICE }))
      .setFfmpegPath(program)
      .inputOptions([...args, ...inputOptions(header.container), ...turned.input])
      .outputOptions([
        ...ONE_STREAM,
        ...[
          "-vf",
          `${turned.filters}${namedFilter(ffmpeg.showTimes, name)},select='eq(n\\,${n})',${SQUARE}${byHand(turn)},format=rgb24`,
        ],
        ...[...ffmpeg.passThrough, "-frames:v", "1", "-c:v", "png", "-f", "image2pipe"],
      ])
      .on("stderr", (line) => {
        watch.refresh();
        reader.line(line);
      })
      // Why it failed is in what it said; without a picture that is looked at below.
      .on("error", over)
      .on("end", over);
    const watch = setTimeout(() => run.kill("SIGKILL"), SILENCE_MS);
    function over(): void {
      clearTimeout(watch);
      resolve();
    }
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

/**
 * fluent-ffmpeg would first start its program twice more, to hear of its formats, and not in what it is held in. We name
 * none that it could miss. The package has ended, so this will not change under us.
 */
function uncounted(run: FfmpegCommand): FfmpegCommand {
  return Object.assign(run, { _checkCapabilities: (done: () => void) => done() });
}
