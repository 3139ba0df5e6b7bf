import { basename } from "node:path";
import { MeasureError } from "../../../src/errors.ts";
import type { SoundTrack } from "../../../src/views/sound/soundTrack.ts";
import { boundedLines } from "./boundedLines.ts";
import { checkClipFile, nothingDecoded } from "./clipFailure.ts";
import { startDecode } from "./decode.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import { ONE_SOUND, runFfmpeg } from "./runFfmpeg.ts";
import { type Stated, stated } from "./stated.ts";

/** Samples a second: pitches up to 4 kHz, where hands and blades are loud. */
const RATE = 8000;
/** Of one channel as 16 bit. */
const AS_SAMPLES = ["-ac", "1", "-ar", String(RATE), "-c:a", "pcm_s16le"];
/** No more than this is held, seconds. */
export const MOST_HEARD = 180;

export interface SoundRequest {
  readonly file: string;
  /** Seconds after the first picture, at most `MOST_HEARD` apart. */
  readonly from: number;
  readonly to: number;
  readonly signal?: AbortSignal | undefined;
}

/**
 * A part of a clip's sound, in the clock in which its first picture is at 0: each piece at the time that the file gives it, silence
 * where it has none.
 *
 * @throws {MeasureError} `no-sound` when there is none in that part, and what is wrong with the file; aborts by its signal
 */
export async function clipSound(
  ffmpeg: Ffmpeg,
  { file, from, to, signal }: SoundRequest,
): Promise<SoundTrack> {
  await checkClipFile(file);
  const header = await stated(file);
  const zero = await firstPicture(ffmpeg, file, header, signal);
  const length = Math.ceil(Math.min(to - from, MOST_HEARD) * RATE);
  const placed = new Placed(Math.round((zero + from) * RATE), length);
  const run = runFfmpeg(ffmpeg, {
    file,
    container: header.container,
    stream: ONE_SOUND,
    // Samples go to one pipe; the other says when each piece is, which no file can write into.
    output: [
      ...[...AS_SAMPLES, "-f", "s16le", "pipe:1"],
      ...[...ONE_SOUND, ...AS_SAMPLES, "-flush_packets", "1", "-f", "framecrc", "pipe:3"],
    ],
    onFrame: () => undefined,
    signal,
  });
  const listed = boundedLines(run.packets, (line) => {
    const [stream, , pts, , size] = line.split(",").map((field) => field.trim());
    if (stream !== "0" || size === undefined) return;
    placed.piece(Number(pts), Number(size));
    if (placed.isPast) run.kill();
  });
  for await (const bytes of run.output as AsyncIterable<Buffer>) placed.bytes(bytes);
  await run.ended;
  await listed;
  placed.bytes(Buffer.alloc(0));
  signal?.throwIfAborted();
  const found = placed.found();
  if (!found) throw noSound(file);
  return { rate: RATE, begins: found.first / RATE - zero, samples: found.samples };
}

/** When the first picture is, seconds of the file's own time. */
async function firstPicture(
  ffmpeg: Ffmpeg,
  file: string,
  header: Stated,
  signal: AbortSignal | undefined,
): Promise<number> {
  let pts: number | null = null;
  const decode = startDecode(ffmpeg, {
    file,
    stated: header,
    filters: "",
    output: ["-frames:v", "1", "-f", "null", "-"],
    onFrame: (frame) => {
      pts ??= frame.pts;
    },
    signal,
  });
  decode.output.resume();
  decode.packets.resume();
  const { log } = await decode.ended;
  signal?.throwIfAborted();
  if (log.frames === 0) throw await nothingDecoded(file, log);
  const base = log.timebase;
  if (pts === null || !base)
    throw new MeasureError(
      "no-times",
      `the first picture of ${file} has no time`,
      `"${basename(file)}" gives no time for its first picture, so its sound can't be laid beside it.`,
    );
  return (pts * base.num) / base.den;
}

function noSound(file: string): MeasureError {
  return new MeasureError(
    "no-sound",
    `clipSound requires a track of sound; ${file} has none there`,
    `"${basename(file)}" has no sound there.`,
  );
}

/** Pieces of sound laid where their times say, out of all pieces' bytes laid end to end; the list may lag behind or be ahead. */
class Placed {
  readonly #from: number;
  readonly #samples: Int16Array;
  readonly #pieces: { readonly at: number; readonly bytes: number }[] = [];
  /** Where the next piece lies if the file does not say. */
  #follows: number;
  #waiting: Buffer = Buffer.alloc(0);
  /** First entry that was heard, and the one after the last. */
  #heard: [number, number] | null = null;
  isPast = false;

  /** @param from the first sample that is kept, counted from the file's own zero */
  constructor(from: number, length: number) {
    this.#from = from;
    this.#follows = from;
    this.#samples = new Int16Array(length);
  }

  /** @param at its first sample, counted from the file's own zero; not a number where the file gives no time */
  piece(at: number, bytes: number): void {
    const begins = Number.isSafeInteger(at) ? at : this.#follows;
    this.#follows = begins + bytes / 2;
    if (begins > this.#from + this.#samples.length) this.isPast = true;
    this.#pieces.push({ at: begins, bytes });
  }

  bytes(more: Buffer): void {
    let bytes = this.#waiting.length > 0 ? Buffer.concat([this.#waiting, more]) : more;
    let done = 0;
    for (const piece of this.#pieces) {
      if (piece.bytes > bytes.length) break;
      this.#lay(piece.at - this.#from, bytes.subarray(0, piece.bytes));
      bytes = bytes.subarray(piece.bytes);
      done += 1;
    }
    this.#pieces.splice(0, done);
    this.#waiting = bytes;
  }

  #lay(at: number, bytes: Buffer): void {
    const count = bytes.length >> 1;
    const first = Math.max(0, -at);
    const end = Math.min(count, this.#samples.length - at);
    if (end <= first) return;
    for (let i = first; i < end; i++) this.#samples[at + i] = bytes.readInt16LE(2 * i);
    const [a, b] = this.#heard ?? [at + first, at + end];
    this.#heard = [Math.min(a, at + first), Math.max(b, at + end)];
  }

  found(): { readonly first: number; readonly samples: Int16Array } | null {
    if (!this.#heard) return null;
    const [first, end] = this.#heard;
    return { first: this.#from + first, samples: this.#samples.slice(first, end) };
  }
}
