import { compareClips, type NotAlike, type TurnBetween } from "../../src/motion/compareClips.ts";
import type { Grey } from "../../src/motion/grey.ts";
import type { HandTurn } from "../../src/study/types.ts";
import type { Ffmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import { greyFrames } from "./greyFrames.ts";

export interface ComparedFile {
  readonly file: string;
  readonly turn?: 0 | HandTurn | undefined;
}

export interface CompareRequest {
  /** Its background is looked for in the other's pictures. */
  readonly like: ComparedFile;
  readonly clip: ComparedFile;
  /** After each frame: of which of the two, and how many of its frames are done. */
  readonly onProgress?:
    | ((which: keyof Pick<CompareRequest, "like" | "clip">, done: number) => void)
    | undefined;
  readonly signal?: AbortSignal | undefined;
}

/**
 * Whether two clips were filmed from one place, and how the camera was turned in between; see `compareClips`.
 *
 * @throws {MeasureError} what is wrong with a file; aborts by its signal
 */
export async function compareFiles(ffmpeg: Ffmpeg, request: CompareRequest): Promise<TurnBetween | NotAlike> {
  const { signal, onProgress } = request;
  const pictures: (readonly Grey[])[] = [];
  for (const which of ["like", "clip"] as const) {
    const kept = new Spread();
    await greyFrames(ffmpeg, {
      ...request[which],
      signal,
      onPicture: (picture, frame) => {
        kept.add(picture, frame);
        onProgress?.(which, frame + 1);
      },
    });
    pictures.push(kept.all());
  }
  return compareClips(pictures[0]!, pictures[1]!);
}

/** Frames held of a clip; a frame of 4K is 8 MB. */
const MOST = 8;

/** A few frames evenly over a clip whose length is not known beforehand, its first and its last among them. */
class Spread {
  #kept: Grey[] = [];
  #every = 1;
  #last: Grey | null = null;

  add(picture: Grey, frame: number): void {
    if (frame % this.#every === 0) {
      this.#kept.push({ ...picture, data: picture.data.slice() });
      this.#last = null;
      if (this.#kept.length <= MOST) return;
      this.#kept = this.#kept.filter((_, k) => k % 2 === 0);
      this.#every *= 2;
      if (frame % this.#every === 0) return;
    }
    if (this.#last) this.#last.data.set(picture.data);
    else this.#last = { ...picture, data: picture.data.slice() };
  }

  all(): readonly Grey[] {
    return this.#last ? [...this.#kept, this.#last] : this.#kept;
  }
}
