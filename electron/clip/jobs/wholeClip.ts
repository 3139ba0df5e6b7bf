import { setTimeout as wait } from "node:timers/promises";
import { MeasureError } from "../../../src/errors.ts";
import type { ClipSource } from "../link/clipSource.ts";
import type { Preparation } from "./preparation.ts";

const LOOK_EVERY_MS = 100;

export interface PrepareHooks {
  readonly onProgress: (done: number, of: number, secondsLeft: number | null) => void;
  readonly signal?: AbortSignal | undefined;
}

/**
 * The times of a clip's frames, once all of them can be had.
 *
 * @param otherwise what does not happen when it cannot be, as the end of a sentence: "so the clip was not written"
 * @throws {MeasureError} `clip-failed`; aborts by its signal
 */
export async function wholeClip(
  preparation: Preparation,
  source: ClipSource,
  otherwise: string,
  { onProgress, signal }: PrepareHooks,
): Promise<readonly number[]> {
  await preparation.first(source);
  for (;;) {
    signal?.throwIfAborted();
    const index = await preparation.index(source);
    if (index.state === "ready") return index.times;
    if (index.state === "failed" || index.state === "stopped")
      throw new MeasureError(
        "clip-failed",
        `clip ${source.clip} is ${index.state}: ${index.failureCode}`,
        index.failure ?? `Preparing the clip was stopped, ${otherwise}.`,
      );
    const { done, of, secondsLeft } = index.progress;
    if (of > 0) onProgress(done, of, secondsLeft);
    await wait(LOOK_EVERY_MS, undefined, signal ? { signal } : {});
  }
}
