import { CameraFollower } from "../../src/motion/followCamera.ts";
import { type CameraMotion, judgeMotion } from "../../src/motion/judgeMotion.ts";
import type { HandTurn, Picture } from "../../src/study/types.ts";
import type { Ffmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import { sizeChanges } from "../clip/store/frameIndex.ts";
import { greyFrames } from "./greyFrames.ts";

export interface MotionRequest {
  readonly file: string;
  readonly turn?: 0 | HandTurn | undefined;
  /** Frames that matter, both included; absent = all. */
  readonly part?: { readonly first: number; readonly last: number } | null | undefined;
  /** After each frame: how many are done. */
  readonly onProgress?: ((done: number) => void) | undefined;
  readonly signal?: AbortSignal | undefined;
}

/** One entry a frame of the part, against its first. */
export interface PartMotion extends CameraMotion {
  readonly first: number;
  readonly picture: Picture;
}

/**
 * The camera's own motion in a clip, one entry a frame as `frames` counts them.
 *
 * @throws {MeasureError} what is wrong with the file; aborts by its signal
 */
export async function clipMotion(
  ffmpeg: Ffmpeg,
  { file, turn, part, onProgress, signal }: MotionRequest,
): Promise<PartMotion> {
  const { first = 0, last = Number.POSITIVE_INFINITY } = part ?? {};
  const follower = new CameraFollower();
  let done = 0;
  const clip = await greyFrames(ffmpeg, {
    file,
    turn,
    signal,
    onPicture: (picture, frame) => {
      if (frame < first || frame > last) return;
      follower.add(picture);
      done += 1;
      onProgress?.(done);
    },
  });
  // Of a frame that was decoded but gave no picture nothing is known.
  const length = Math.max(0, Math.min(last, clip.count - 1) - first + 1);
  const followed = follower.end();
  const frames = Array.from({ length }, (_, n) => followed.frames[n] ?? null);
  const judged = judgeMotion(frames, clip, followed.bend);
  const bumps = judged.bumps.map((bump) => ({ ...bump, frame: bump.frame + first }));
  const picture = { width: clip.width, height: clip.height };
  const motion = { ...judged, bumps, first, picture };
  return clip.sizeChanges ? { ...motion, warnings: [...motion.warnings, sizeChanges(clip.count)] } : motion;
}
