import { nothingDecoded } from "./clipFailure.ts";
import { startDecode } from "./decode.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import { stated } from "./stated.ts";

/** A film that takes longer to its first frame is left to its preparation. */
const MOST_MS = 10_000;

/**
 * Decodes the first frame of a file that can be decoded.
 *
 * @throws {MeasureError} when it is read to its end and there is none, with the sentence for that
 */
export async function mustBeFilm(ffmpeg: Ffmpeg, file: string, closing: AbortSignal): Promise<void> {
  const signal = AbortSignal.any([closing, AbortSignal.timeout(MOST_MS)]);
  let frames = 0;
  const decode = startDecode(ffmpeg, {
    file,
    stated: await stated(file),
    filters: "",
    output: ["-frames:v", "1", "-f", "null", "-"],
    onFrame: () => {
      frames += 1;
    },
    signal,
  });
  decode.output.resume();
  decode.packets.resume();
  const { log } = await decode.ended;
  if (frames === 0 && !signal.aborted) throw await nothingDecoded(file, log);
}
