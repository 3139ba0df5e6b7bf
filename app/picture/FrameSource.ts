import type { FrameRange } from "../store/clipFrames.ts";
import { nearestFrame, ringCapacity, ringOrder } from "./frameRing.ts";

/** Fetches and decodes one frame; rejects when aborted. The host's own number of the frame comes back with it. */
export type DecodeFrame<Bitmap> = (
  url: string,
  signal: AbortSignal,
) => Promise<{ bitmap: Bitmap; frame: number | null }>;

export interface ClipFrames {
  /** Names the clip and its content: under another name nothing of before is shown. */
  readonly name: string;
  readonly width: number;
  readonly height: number;
  /** Frames that can be had. */
  readonly ranges: readonly FrameRange[];
  /** Frames one is likely to go to, likeliest first. */
  readonly likely: readonly number[];
  url(frame: number): string;
}

const FARTHEST_STRIDE = 10;

/** The first so many of the ring are decoded side by side; the rest one at a time, so that a jump finds a free processor. */
const URGENT = 8;

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
  #direction: 1 | -1 = 1;
  #stride = 1;
  /** The last move was none of a few frames: nothing is known yet of where one goes next. */
  #jumped = true;
  readonly #held = new Map<number, Bitmap>();
  readonly #loading = new Map<number, AbortController>();
  /** Decodes under way, also of frames no longer wanted: a decode that has begun cannot be stopped. */
  #busy = 0;
  readonly #failures = new Map<number, string>();
  #shown: number | null = null;
  #drawn: Bitmap | null = null;
  /** Bitmaps still on the canvas though their clip is gone; closed once something else is drawn. */
  #retired: Bitmap[] = [];

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
    this.#work();
  }

  /** The frame to show now, and its number. It stays usable until another one is `drawn`. */
  show(): { readonly frame: number; readonly bitmap: Bitmap } | null {
    this.#shown = nearestFrame(this.#held.keys(), this.#wanted);
    const bitmap = this.#shown === null ? undefined : this.#held.get(this.#shown);
    return this.#shown === null || !bitmap ? null : { frame: this.#shown, bitmap };
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
    this.drawn(null);
  }

  #clear(): void {
    for (const controller of this.#loading.values()) controller.abort();
    for (const bitmap of this.#held.values()) this.#drop(bitmap);
    this.#loading.clear();
    this.#held.clear();
    this.#failures.clear();
    this.#shown = null;
  }

  #drop(bitmap: Bitmap): void {
    if (bitmap === this.#drawn) this.#retired.push(bitmap);
    else bitmap.close();
  }

  #work(): void {
    const clip = this.#clip;
    if (!clip) return;
    const order = ringOrder({
      wanted: this.#wanted,
      direction: this.#direction,
      stride: this.#stride,
      capacity: ringCapacity(clip.width, clip.height),
      ranges: clip.ranges,
      likely: clip.likely,
    });
    const keep = new Set(order);
    for (const [frame, controller] of this.#loading) {
      if (keep.has(frame)) continue;
      controller.abort();
      this.#loading.delete(frame);
    }
    for (const [frame, bitmap] of this.#held) {
      if (keep.has(frame) || frame === this.#shown) continue;
      this.#drop(bitmap);
      this.#held.delete(frame);
    }
    const missing = order.filter(
      (f) => !this.#held.has(f) && !this.#loading.has(f) && !this.#failures.has(f),
    );
    const [first] = order;
    // The wanted frame waits for nothing but decodes that cannot be stopped, and those are few. After a jump it has
    // the processor to itself; under way, the next ones are as urgent.
    if (first !== undefined && missing[0] === first && this.#busy <= this.#parallel)
      void this.#load(clip, missing.shift() as number);
    const alone = this.#jumped && first !== undefined && !this.#held.has(first) && !this.#failures.has(first);
    for (const frame of alone ? [] : missing) {
      if (this.#busy >= (order.indexOf(frame) <= URGENT ? this.#parallel : 1)) break;
      void this.#load(clip, frame);
    }
  }

  async #load(clip: ClipFrames, frame: number): Promise<void> {
    const controller = new AbortController();
    this.#loading.set(frame, controller);
    this.#busy += 1;
    try {
      const { bitmap, frame: named } = await this.#decode(clip.url(frame), controller.signal);
      if (controller.signal.aborted) bitmap.close();
      else if (named !== frame) {
        bitmap.close();
        throw new Error(`Frame ${frame} was asked for, but frame ${named ?? "without a number"} came.`);
      } else this.#held.set(frame, bitmap);
    } catch (error) {
      if (!controller.signal.aborted)
        this.#failures.set(frame, error instanceof Error ? error.message : String(error));
    } finally {
      this.#busy -= 1;
      if (this.#loading.get(frame) === controller) this.#loading.delete(frame);
    }
    this.#work();
    this.#changed();
  }
}
