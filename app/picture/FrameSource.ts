import { type FrameRange, isReady } from "../store/clipFrames.ts";
import { nearestFrame, ringCapacity, ringOrder } from "./frameRing.ts";

/** A decoded frame with the host's own number of it. */
export interface Decoded<Bitmap> {
  readonly bitmap: Bitmap;
  readonly frame: number | null;
}

/** Takes the same frame in about so many pixels, where that comes sooner. */
export interface Early<Bitmap> {
  readonly width: number;
  readonly height: number;
  /** How many times fewer that is each way. */
  readonly by: number;
  take(coarse: Decoded<Bitmap>): void;
}

/** Fetches and decodes one frame; rejects when aborted. `early` is given only while a person waits. */
export type DecodeFrame<Bitmap> = (
  url: string,
  signal: AbortSignal,
  early?: Early<Bitmap>,
) => Promise<Decoded<Bitmap>>;

export interface Shown<Bitmap> {
  readonly frame: number;
  readonly bitmap: Bitmap;
  /** False: the right frame, but in fewer pixels than it has. */
  readonly whole: boolean;
}

export interface ClipFrames {
  /** Names the clip and its content: under another name nothing of before is shown. */
  readonly name: string;
  readonly width: number;
  readonly height: number;
  /** Frames that are ready. */
  readonly ranges: readonly FrameRange[];
  /** Frames one is likely to go to, likeliest first. */
  readonly likely: readonly number[];
  /** How many clips share the memory for frames; absent = it is the only one. */
  readonly sharers?: number | undefined;
  url(frame: number): string;
}

const FARTHEST_STRIDE = 10;

/** A picture of more pixels than this is shown in fewer first, while a person waits. */
const LARGE = 1.5e6;

/** The longer side of a very large picture in fewer pixels has at least so many, px. */
const FIRST_SIDE = 900;

/** By four each way at least, and a power of two: to those a JPEG is decoded fastest. */
function inFewerPixels(width: number, height: number) {
  let by = 4;
  while (Math.max(width, height) / (by * 2) >= FIRST_SIDE) by *= 2;
  return { width: Math.ceil(width / by), height: Math.ceil(height / by), by };
}

/**
 * The first so many of the ring are decoded side by side while one steps; the rest, and all of them after a jump, one at
 * a time, so that the next jump finds a free processor.
 */
const URGENT = 8;

/** After a jump nobody knows where one goes next: only so many are decoded until one steps, likely frames among them. */
const AFTER_JUMP = 16;

/**
 * A ring of decoded frames around the wanted one, of one clip at a time. Frames are keyed by their number in the
 * clip and by nothing else; a frame whose own number disagrees with the one asked for is an error, not a picture.
 */
export class FrameSource<Bitmap extends { close(): void }> {
  readonly #decode: DecodeFrame<Bitmap>;
  readonly #changed: () => void;
  /** Frames being fetched and decoded at once. */
  readonly #parallel: number;
  #clip: ClipFrames | null = null;
  #wanted = 0;
  /** Where one is about to go: decoded right after the wanted one. */
  #expected: number | null = null;
  #direction: 1 | -1 = 1;
  #stride = 1;
  /** The last move was none of a few frames: nothing is known yet of where one goes next. */
  #jumped = true;
  readonly #held = new Map<number, Bitmap>();
  /** The frames to hold; others that are still held go when their room is needed. */
  #keep: ReadonlySet<number> = new Set();
  readonly #loading = new Map<number, AbortController>();
  /** Decodes under way, also of frames no longer wanted: a decode that has begun cannot be stopped. */
  #busy = 0;
  readonly #failures = new Map<number, string>();
  #shown: number | null = null;
  /** Stands in for the wanted frame until that is there in all its pixels. */
  #coarse: { readonly frame: number; readonly bitmap: Bitmap } | null = null;
  #drawn: Bitmap | null = null;
  /** Bitmaps still on the canvas though their clip is gone; closed once something else is drawn. */
  #retired: Bitmap[] = [];
  /** Bitmaps of the clip before, closed once the first frame of this one is there. */
  #former: Bitmap[] = [];

  constructor(decode: DecodeFrame<Bitmap>, changed: () => void, parallel = 2) {
    this.#decode = decode;
    this.#changed = changed;
    this.#parallel = parallel;
  }

  /** Sets the clip, or tells that more of it is ready. */
  setClip(clip: ClipFrames | null): void {
    if (clip?.name !== this.#clip?.name) this.#clear();
    this.#clip = clip;
    this.#work();
  }

  want(frame: number): void {
    if (frame !== this.#wanted) {
      const by = frame - this.#wanted;
      this.#direction = by > 0 ? 1 : -1;
      this.#jumped = Math.abs(by) > FARTHEST_STRIDE;
      this.#stride = this.#jumped ? 1 : Math.abs(by);
    }
    this.#wanted = frame;
    this.#failures.delete(frame);
    if (this.#coarse?.frame !== frame) this.#dropCoarse();
    this.#work();
  }

  /** Tells of a frame one is about to go to; null = none. */
  expect(frame: number | null): void {
    if (frame === this.#expected) return;
    this.#expected = frame;
    this.#work();
  }

  /** The frame to show now, and its number. It stays usable until another one is `drawn`. */
  show(): Shown<Bitmap> | null {
    // Under way nothing stands in for a frame that lies beyond it: the picture would go back once the frame is there.
    const beyond = (f: number) => (f - this.#wanted) * this.#direction > 0;
    const onward = !this.#jumped && this.#shown !== null && !beyond(this.#shown);
    const around = [...this.#held.keys()].filter(
      (f) => (this.#keep.has(f) && !(onward && beyond(f))) || f === this.#shown,
    );
    this.#shown = nearestFrame(around, this.#wanted);
    if (this.#coarse && this.#shown !== this.#wanted) return { ...this.#coarse, whole: false };
    const bitmap = this.#shown === null ? undefined : this.#held.get(this.#shown);
    return this.#shown === null || !bitmap ? null : { frame: this.#shown, bitmap, whole: true };
  }

  /** Tells what the canvas holds now, so that nothing is closed while it is still on it. */
  drawn(bitmap: Bitmap | null): void {
    this.#drawn = bitmap;
    for (const old of this.#retired.filter((b) => b !== bitmap)) old.close();
    this.#retired = this.#retired.filter((b) => b === bitmap);
  }

  /** Why the wanted frame cannot be shown, when it can't. */
  failure(): string | null {
    return this.#failures.get(this.#wanted) ?? null;
  }

  get heldFrames(): readonly number[] {
    return [...this.#held.keys()];
  }

  close(): void {
    this.#clear();
    this.#clip = null;
    this.#closeFormer();
    this.drawn(null);
  }

  #clear(): void {
    for (const controller of this.#loading.values()) controller.abort();
    this.#former.push(...this.#held.values());
    this.#dropCoarse();
    this.#loading.clear();
    this.#held.clear();
    this.#failures.clear();
    this.#expected = null;
    this.#shown = null;
  }

  #drop(bitmap: Bitmap): void {
    if (bitmap === this.#drawn) this.#retired.push(bitmap);
    else bitmap.close();
  }

  #dropCoarse(): void {
    if (this.#coarse) this.#drop(this.#coarse.bitmap);
    this.#coarse = null;
  }

  #closeFormer(): void {
    for (const bitmap of this.#former.splice(0)) this.#drop(bitmap);
  }

  /**
   * Closes frames that are not to be kept, farthest first, until what is held and on its way fits, beside the one on
   * the screen. No sooner: giving memory back takes a millisecond or more a frame in the very thread that decodes, and
   * after a jump the wanted one would wait for all.
   */
  #makeRoom(capacity: number): void {
    const over = this.#held.size + this.#busy - (capacity + 1);
    if (over <= 0) return;
    const far = (frame: number) => Math.abs(frame - this.#wanted);
    const unwanted = [...this.#held.keys()].filter((f) => !this.#keep.has(f) && f !== this.#shown);
    for (const frame of unwanted.sort((a, b) => far(b) - far(a)).slice(0, over)) {
      this.#drop(this.#held.get(frame)!);
      this.#held.delete(frame);
    }
  }

  /** Frames to hold, most wanted first. */
  #order(clip: ClipFrames, capacity: number): number[] {
    const ring = ringOrder({
      wanted: this.#wanted,
      direction: this.#direction,
      stride: this.#stride,
      capacity,
      ranges: clip.ranges,
      likely: clip.likely,
    });
    const expected = this.#expected;
    if (expected === null || ring[0] === expected || !isReady(clip.ranges, expected)) return ring;
    return [...ring.slice(0, 1), expected, ...ring.slice(1).filter((f) => f !== expected)].slice(0, capacity);
  }

  #work(): void {
    const clip = this.#clip;
    if (!clip) return;
    const capacity = ringCapacity(clip.width, clip.height);
    const order = this.#order(clip, capacity);
    this.#keep = new Set(order);
    for (const [frame, controller] of this.#loading) {
      if (this.#keep.has(frame)) continue;
      controller.abort();
      this.#loading.delete(frame);
    }
    const missing = (this.#jumped ? order.slice(0, AFTER_JUMP) : order).filter(
      (f) => !this.#held.has(f) && !this.#loading.has(f) && !this.#failures.has(f),
    );
    const [first] = order;
    const load = (frame: number) => {
      void this.#load(clip, frame);
      // After it was asked for, so that it does not wait for this.
      this.#makeRoom(capacity);
    };
    // The wanted frame waits for nothing but decodes that cannot be stopped, and those are few. After a jump it has
    // the processor to itself; under way, the next ones are as urgent.
    if (first !== undefined && missing[0] === first && this.#busy <= this.#parallel)
      load(missing.shift() as number);
    const alone = this.#jumped && first !== undefined && !this.#held.has(first) && !this.#failures.has(first);
    if (alone) return;
    this.#closeFormer();
    for (const frame of missing) {
      const urgent = frame === this.#expected || (!this.#jumped && order.indexOf(frame) <= URGENT);
      if (this.#busy >= (urgent ? this.#parallel : 1)) break;
      load(frame);
    }
  }

  async #load(clip: ClipFrames, frame: number): Promise<void> {
    const controller = new AbortController();
    const { signal } = controller;
    this.#loading.set(frame, controller);
    this.#busy += 1;
    const take = (coarse: Decoded<Bitmap>) => {
      if (signal.aborted || coarse.frame !== frame || frame !== this.#wanted) return coarse.bitmap.close();
      this.#dropCoarse();
      this.#coarse = { frame, bitmap: coarse.bitmap };
      this.#changed();
    };
    try {
      const large = clip.width * clip.height > LARGE;
      const early =
        large && frame === this.#wanted ? { ...inFewerPixels(clip.width, clip.height), take } : undefined;
      const { bitmap, frame: named } = await this.#decode(clip.url(frame), signal, early);
      if (signal.aborted) bitmap.close();
      else if (named !== frame) {
        bitmap.close();
        throw new Error(`Frame ${frame} was asked for, but frame ${named ?? "without a number"} came.`);
      } else this.#held.set(frame, bitmap);
    } catch (error) {
      if (!signal.aborted) this.#failures.set(frame, error instanceof Error ? error.message : String(error));
    } finally {
      this.#busy -= 1;
      if (this.#loading.get(frame) === controller) this.#loading.delete(frame);
      if (this.#coarse?.frame === frame) this.#dropCoarse();
    }
    // What is there now is shown before anything else is begun.
    this.#changed();
    this.#work();
  }
}
