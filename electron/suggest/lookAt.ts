import { setImmediate as breath } from "node:timers/promises";
import { MeasureError } from "../../src/errors.ts";
import type { Body } from "../../src/suggest/body.ts";
import { followBody } from "../../src/suggest/followBody.ts";
import type { Rgba, Square } from "../../src/suggest/pixels.ts";
import type { Eyes } from "../../src/suggest/scene.ts";
import { jpegPixels } from "./jpegPixels.ts";
import { MODELS, type PoseModels } from "./poseModels.ts";

/** Frames are looked at several times in a row, then not again. */
const KEPT_PICTURES = 6;

export interface Watched {
  /** A frame of the clip as the store has it. */
  readonly jpeg: (frame: number) => Promise<Uint8Array>;
  readonly models: () => Promise<PoseModels>;
}

/** What each model saw of one clip, by frame and square. */
export type Remembered = Readonly<Record<keyof PoseModels, Record<string, Body>>>;

export interface Following {
  readonly start: { readonly frame: number; readonly square: Square };
  /** Frames that may be looked at, both included. */
  readonly range: { readonly first: number; readonly last: number };
  readonly onFrame: (done: number, of: number) => void;
  readonly signal: AbortSignal;
}

/**
 * Sees one clip: what has been looked at once is remembered, so that going on after a pause, or with more marks, costs only
 * what is new.
 */
export class ClipEyes {
  readonly #watched: Watched;
  readonly #seenBefore: Remembered;
  readonly #pictures = new Map<number, Rgba>();
  readonly #blades: NonNullable<Eyes["blades"]> = new Map();

  /** @param remembered what was seen of the same clip by the same models before; it is added to */
  constructor(watched: Watched, remembered: Remembered = { quick: {}, close: {} }) {
    this.#watched = watched;
    this.#seenBefore = remembered;
  }

  /** Follows the skater. @throws {MeasureError} `cancelled` */
  async follow({ start, range, onFrame, signal }: Following): Promise<Eyes> {
    let looked = 0;
    const bodies = await followBody(
      async (frame, square) => {
        goesOn(signal);
        onFrame(looked++, range.last - range.first + 1);
        return this.#seen("quick", frame, square);
      },
      start,
      range,
    );
    return {
      bodies,
      model: MODELS.thunder.weights,
      closely: async (frame, square) => {
        goesOn(signal);
        return this.#seen("close", frame, square);
      },
      picture: (frame) => this.#picture(frame),
      blades: this.#blades,
    };
  }

  async #seen(which: keyof PoseModels, frame: number, square: Square): Promise<Body> {
    const known = this.#seenBefore[which];
    const key = `${frame} ${square.x} ${square.y} ${square.side}`;
    const before = known[key];
    if (before) return before;
    const [picture, models] = [await this.#picture(frame), await this.#watched.models()];
    const body = models[which](picture, frame, square);
    known[key] = body;
    await breath();
    return body;
  }

  async #picture(frame: number): Promise<Rgba> {
    const before = this.#pictures.get(frame);
    if (before) return before;
    const pixels = await jpegPixels(await this.#watched.jpeg(frame));
    if (this.#pictures.size >= KEPT_PICTURES) this.#pictures.delete(this.#pictures.keys().next().value!);
    this.#pictures.set(frame, pixels);
    return pixels;
  }
}

/** @throws {MeasureError} `cancelled` */
function goesOn(signal: AbortSignal): void {
  if (signal.aborted)
    throw new MeasureError("cancelled", "suggest was stopped", "Stopped. Nothing is suggested.");
}
