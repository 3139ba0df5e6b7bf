import { resolve } from "node:path";
import { MeasureError } from "../../../src/errors.ts";
import { findFfmpeg } from "../../clip/ffmpeg/findFfmpeg.ts";
import { Preparation } from "../../clip/jobs/preparation.ts";
import { wholeClip } from "../../clip/jobs/wholeClip.ts";
import { realDisk } from "../../disk/disk.ts";
import { tenths } from "../../film/filmTools.ts";
import { ownerWords, readLock, runs } from "../../vault/lock.ts";
import type { Io } from "../Command.ts";
import { clipSource, type StepClip, stepCache } from "./stepClips.ts";

/** Which frames were made of one link. */
export interface PreparedPart {
  readonly first: number;
  readonly last: number;
}

/**
 * Prepares clips of one study in its own cache, one after another. What was prepared before is kept, so that a run that
 * was ended goes on where it was.
 *
 * @throws {MeasureError} `study-open` while a window has the study: it prepares its clips itself; why a clip can't be
 */
export async function prepareClips(
  folder: string,
  clips: readonly StepClip[],
  io: Io,
): Promise<PreparedPart[]> {
  await mustBeShut(folder);
  const cache = stepCache(folder);
  const preparation = new Preparation(cache, findFfmpeg, undefined, realDisk(resolve(folder)));
  const stop = new AbortController();
  const onSignal = () => stop.abort();
  process.once("SIGINT", onSignal).once("SIGTERM", onSignal);
  try {
    const parts: PreparedPart[] = [];
    for (const { link } of clips) {
      const say = tenths((text) => io.say(text));
      const times = await wholeClip(preparation, clipSource(folder, link), "so it is not prepared", {
        onProgress: (done, of, secondsLeft) => say({ doing: "preparing", done, of, secondsLeft }),
        signal: stop.signal,
      });
      parts.push({
        first: link.part?.first ?? 0,
        last: Math.min(link.part?.last ?? Infinity, times.length - 1),
      });
    }
    return parts;
  } catch (error) {
    if (!stop.signal.aborted) throw error;
    throw new MeasureError(
      "cancelled",
      "prepare was stopped",
      "Stopped. What was prepared stays; the same command goes on from there.",
    );
  } finally {
    process.off("SIGINT", onSignal).off("SIGTERM", onSignal);
    await preparation.close();
  }
}

async function mustBeShut(folder: string): Promise<void> {
  const owner = await readLock(folder, realDisk(folder)).catch(() => null);
  if (!owner || !(await runs(owner))) return;
  throw new MeasureError(
    "study-open",
    `${folder} is open: ${ownerWords(owner)}`,
    `This study is open in a window (${ownerWords(owner)}), which prepares its clips itself. Close it first.`,
  );
}
