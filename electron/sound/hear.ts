import { MeasureError } from "../../src/errors.ts";
import type { LagFound } from "../../src/views/sound/soundLag.ts";
import type { SoundTrack } from "../../src/views/sound/soundTrack.ts";
import { clipSound, MOST_HEARD } from "../clip/ffmpeg/clipSound.ts";
import type { Ffmpeg } from "../clip/ffmpeg/findFfmpeg.ts";

/** Seconds before the first event and after the last in which clips are listened to: who claps does so near the skate. [judgement] */
const AROUND = 60;

/** What a clip sounds like near the skate, or why there is nothing to hear. */
export type HeardClip = SoundTrack | { readonly why: string };

/**
 * @param times of the events, seconds of the clip
 * @throws {MeasureError} what is wrong with the file; that it has no sound is an answer
 */
export async function hear(
  ffmpeg: Ffmpeg,
  file: string,
  times: readonly number[],
  signal?: AbortSignal,
): Promise<HeardClip> {
  if (times.length === 0) return { why: "a view has no event, so where to listen is not known" };
  const [first, last] = [Math.min(...times), Math.max(...times)];
  const middle = (first + last) / 2;
  const half = Math.min(MOST_HEARD / 2, (last - first) / 2 + AROUND);
  try {
    return await clipSound(ffmpeg, { file, from: middle - half, to: middle + half, signal });
  } catch (error) {
    if (!(error instanceof MeasureError) || error.code !== "no-sound") throw error;
    return { why: error.coach.replace(/\.$/, "") };
  }
}

/** Both tracks, or the answer where one clip is not heard. */
export function bothHeard(
  first: HeardClip,
  second: HeardClip,
): { readonly first: SoundTrack; readonly second: SoundTrack } | (LagFound & { readonly lag: null }) {
  if ("why" in first) return { lag: null, why: first.why };
  return "why" in second ? { lag: null, why: second.why } : { first, second };
}
