import type { Grey } from "../../src/motion/grey.ts";
import type { HandTurn } from "../../src/study/types.ts";
import { checkClipFile, nothingDecoded } from "../clip/ffmpeg/clipFailure.ts";
import { byHand, displayedSize, SQUARE, startDecode } from "../clip/ffmpeg/decode.ts";
import type { Ffmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import { stated } from "../clip/ffmpeg/stated.ts";

export interface GreyRequest {
  readonly file: string;
  readonly turn?: 0 | HandTurn | undefined;
  /** Given every frame once, in order. Its picture is overwritten afterwards. */
  readonly onPicture: (picture: Grey, frame: number) => void;
  readonly signal?: AbortSignal | undefined;
}

/** How many frames there are, as `frames` counts them, and their size as displayed. */
export interface GreyClip {
  readonly count: number;
  readonly width: number;
  readonly height: number;
  /** After the last of these frames the picture changes its size. */
  readonly sizeChanges: boolean;
}

/**
 * Every frame of a clip as brightness, as displayed, in one decode from its start; nothing seeks. No more of it is held in memory
 * than one frame and what is on its way.
 *
 * @throws {MeasureError} when the file is missing, is no video, or not one frame can be decoded; aborts by its signal
 */
export async function greyFrames(
  ffmpeg: Ffmpeg,
  { file, turn = 0, onPicture, signal }: GreyRequest,
): Promise<GreyClip> {
  await checkClipFile(file);
  const header = await stated(file);
  const heard = new Heard();
  const decode = startDecode(ffmpeg, {
    file,
    stated: header,
    filters: `${SQUARE}${byHand(turn)},format=gray`,
    output: ["-c:v", "rawvideo", "-f", "rawvideo", "pipe:1"],
    onFrame: (frame) => heard.take(displayedSize(frame, turn)),
    signal,
  });
  const first = await Promise.race([heard.first, decode.ended.then(() => null)]);
  if (first)
    await cutIntoPictures(decode.output, first, (picture, n) => heard.shown(n) && onPicture(picture, n));
  const { log } = await decode.ended;
  signal?.throwIfAborted();
  const size = heard.size;
  if (!size) throw await nothingDecoded(file, log);
  return { count: heard.count, ...size, sizeChanges: heard.sizeChanges };
}

type Size = ReturnType<typeof displayedSize>;

/** What the decode says of its frames: how large they are, and where they begin to be of another size. */
class Heard {
  size: Size | null = null;
  count = 0;
  sizeChanges = false;
  readonly first: Promise<Size>;
  #known: (size: Size) => void = () => undefined;

  constructor() {
    this.first = new Promise((resolve) => {
      this.#known = resolve;
    });
  }

  take(size: Size): void {
    if (!this.size) {
      this.size = size;
      this.#known(size);
    }
    if (size.width !== this.size.width || size.height !== this.size.height) this.sizeChanges = true;
    if (!this.sizeChanges) this.count += 1;
  }

  /** A picture can come before its line; it is then not yet known to be of another size, and nobody counts it in the end. */
  shown(frame: number): boolean {
    return !this.sizeChanges || frame < this.count;
  }
}

async function cutIntoPictures(
  stream: AsyncIterable<Buffer>,
  { width, height }: Size,
  onPicture: (picture: Grey, frame: number) => void,
): Promise<void> {
  const data = new Uint8Array(width * height);
  let [frame, filled] = [0, 0];
  for await (const part of stream)
    for (let from = 0; from < part.length; ) {
      const taken = Math.min(part.length - from, data.length - filled);
      data.set(part.subarray(from, from + taken), filled);
      from += taken;
      filled += taken;
      if (filled < data.length) continue;
      onPicture({ width, height, data }, frame);
      frame += 1;
      filled = 0;
    }
}
