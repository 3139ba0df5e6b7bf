import type { HandTurn } from "../../../src/study/types.ts";
import type { FileStamp } from "../ffmpeg/clipFailure.ts";
import type { Ffmpeg } from "../ffmpeg/findFfmpeg.ts";
import { type KeyPicture, keyPicture } from "../ffmpeg/keyPicture.ts";
import { stated } from "../ffmpeg/stated.ts";

/** Pictures made at once: a person waits for all of them, and the machine has other things to do. */
const AT_ONCE = 2;
/** Small pictures kept in memory, a few kB each. */
const MOST_KEPT = 240;
/** Enough to tell where somebody skates, px. */
const HEIGHT = 96;

/** A small picture of a clip with its time from the clip's first frame on, seconds; null where the file gives none. */
export interface Glimpse {
  readonly jpeg: Buffer;
  readonly time: number | null;
}

/** A file of a clip, and how it is shown. */
export interface Shown {
  readonly file: string;
  readonly stamp: FileStamp;
  readonly turn: 0 | HandTurn;
}

/** Small pictures of clips by their time, each made when it is first asked for, a few at a time. */
export class KeyPictures {
  readonly #ffmpeg: () => Promise<Ffmpeg>;
  readonly #closing: AbortSignal;
  readonly #kept = new Map<string, Promise<KeyPicture | null>>();
  readonly #waiting: (() => void)[] = [];
  #busy = 0;

  constructor(ffmpeg: () => Promise<Ffmpeg>, closing: AbortSignal) {
    this.#ffmpeg = ffmpeg;
    this.#closing = closing;
  }

  /**
   * @param seconds from the clip's first frame on
   * @param asking ends it when nobody asks any more
   * @returns null when there is no such picture, or nobody asks any more
   */
  async at({ file, stamp, turn }: Shown, seconds: number, asking: AbortSignal): Promise<Glimpse | null> {
    const first = await this.#picture({ file, stamp, turn }, null, asking);
    if (!first) return null;
    const begins = first.at ?? 0;
    const picture =
      seconds <= 0
        ? first
        : await this.#picture({ file, stamp, turn }, begins + Number(seconds.toFixed(2)), asking);
    return picture && { jpeg: picture.jpeg, time: picture.at === null ? null : picture.at - begins };
  }

  async #picture(shown: Shown, seekTo: number | null, asking: AbortSignal): Promise<KeyPicture | null> {
    const { bytes, mtimeMs } = shown.stamp;
    const key = `${bytes} ${mtimeMs} ${shown.turn} ${seekTo} ${shown.file}`;
    const kept = this.#kept.get(key);
    if (kept) {
      const made = await kept.catch(() => null);
      // Whoever asked first may have given up; whoever still asks has it made anew.
      if (made !== null || asking.aborted || this.#closing.aborted) return made;
      if (this.#kept.get(key) !== kept) return this.#picture(shown, seekTo, asking);
    }
    const picture = this.#make(shown, seekTo, asking);
    this.#kept.set(key, picture);
    for (const old of [...this.#kept.keys()].slice(0, -MOST_KEPT)) this.#kept.delete(old);
    // What was given up, or failed, is made when it is asked for again.
    const forget = () => this.#kept.get(key) === picture && this.#kept.delete(key);
    picture.then((made) => made === null && forget(), forget);
    return picture;
  }

  async #make({ file, turn }: Shown, seekTo: number | null, asking: AbortSignal): Promise<KeyPicture | null> {
    const signal = AbortSignal.any([this.#closing, asking]);
    if (this.#busy >= AT_ONCE) await new Promise<void>((go) => this.#waiting.push(go));
    else this.#busy += 1;
    try {
      if (signal.aborted) return null;
      return await keyPicture(
        await this.#ffmpeg(),
        { file, stated: await stated(file), seekTo, height: HEIGHT, turn },
        signal,
      );
    } finally {
      const next = this.#waiting.shift();
      if (next) next();
      else this.#busy -= 1;
    }
  }
}
