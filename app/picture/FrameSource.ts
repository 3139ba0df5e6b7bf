import { nearestFrame, ringCapacity, ringOrder } from "./frameRing.ts";

/** Fetches and decodes one frame; rejects when aborted. The host's own number of the frame comes back with it. */
export type DecodeFrame<Bitmap> = (
  url: string,
  signal: AbortSignal,
) => Promise<{ bitmap: Bitmap; frame: number | null }>;

export interface ClipFrames {
  readonly clip: string;
  readonly width: number;
  readonly height: number;
  /** Frames that can be had: 0 … ready-1. */
  readonly ready: number;
  url(frame: number): string;
}

const FARTHEST_STRIDE = 10;

/** Requests under way at once for frames that are not the wanted one. */
const PREFETCHES = 2;

/**
 * A ring of decoded frames around the wanted one, of one clip at a time. Frames are keyed by their number in the
 * clip and by nothing else; a frame whose own number disagrees with the one asked for is an error, not a picture.
 */
export class FrameSource<Bitmap extends { close(): void }> {
  readonly #decode: DecodeFrame<Bitmap>;
  readonly #changed: () => void;
  #clip: ClipFrames | null = null;
  #wanted = 0;
  #direction: 1 | -1 = 1;
  #stride = 1;
  #order: number[] = [];
  readonly #held = new Map<number, Bitmap>();
  readonly #loading = new Map<number, AbortController>();
  readonly #failures = new Map<number, string>();
  #shown: number | null = null;
  #drawn: Bitmap | null = null;
  /** Bitmaps still on the canvas though their clip is gone; closed once something else is drawn. */
  #retired: Bitmap[] = [];

  constructor(decode: DecodeFrame<Bitmap>, changed: () => void) {
    this.#decode = decode;
    this.#changed = changed;
  }

  /** Sets the clip, or tells that more of it is ready. */
  setClip(clip: ClipFrames | null): void {
    const same = clip?.clip === this.#clip?.clip && clip?.width === this.#clip?.width;
    if (!same) this.#clear();
    this.#clip = clip;
    this.#work();
  }

  want(frame: number): void {
    if (frame !== this.#wanted) {
      const by = frame - this.#wanted;
      this.#direction = by > 0 ? 1 : -1;
      // A jump to anywhere says nothing about the next one.
      this.#stride = Math.abs(by) <= FARTHEST_STRIDE ? Math.abs(by) : 1;
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
    const capacity = ringCapacity(clip.width, clip.height);
    this.#order = ringOrder({
      wanted: this.#wanted,
      direction: this.#direction,
      stride: this.#stride,
      capacity,
      ready: clip.ready,
    });
    const keep = new Set(this.#order);
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
    const [first] = this.#order;
    for (const frame of this.#order) {
      if (this.#held.has(frame) || this.#loading.has(frame) || this.#failures.has(frame)) continue;
      // The wanted frame never waits for the others; nothing else starts before it is on its way.
      if (frame !== first && this.#loading.size >= PREFETCHES) break;
      void this.#load(clip, frame);
    }
  }

  async #load(clip: ClipFrames, frame: number): Promise<void> {
    const controller = new AbortController();
    this.#loading.set(frame, controller);
    try {
      const { bitmap, frame: named } = await this.#decode(clip.url(frame), controller.signal);
      if (controller.signal.aborted) return bitmap.close();
      if (named !== frame) {
        bitmap.close();
        throw new Error(`Frame ${frame} was asked for, but frame ${named ?? "without a number"} came.`);
      }
      this.#held.set(frame, bitmap);
    } catch (error) {
      if (controller.signal.aborted) return;
      this.#failures.set(frame, error instanceof Error ? error.message : String(error));
    } finally {
      if (this.#loading.get(frame) === controller) this.#loading.delete(frame);
    }
    this.#work();
    this.#changed();
  }
}
