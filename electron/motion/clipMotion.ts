import { CameraFollower, type FrameMotion } from "../../src/motion/followCamera.ts";
import { type CameraMotion, judgeMotion } from "../../src/motion/judgeMotion.ts";
import type { HandTurn } from "../../src/study/types.ts";
import type { Ffmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import { sizeChanges } from "../clip/store/frameIndex.ts";
import { greyFrames } from "./greyFrames.ts";

export interface MotionRequest {
  readonly file: string;
  readonly turn?: 0 | HandTurn | undefined;
  /** After each frame: how many are done. */
  readonly onProgress?: ((done: number) => void) | undefined;
  readonly signal?: AbortSignal | undefined;
}

/**
 * The camera's own motion in a clip, one entry a frame as `frames` counts them.
 *
 * @throws {MeasureError} what is wrong with the file; aborts by its signal
 */
export async function clipMotion(
  ffmpeg: Ffmpeg,
  { file, turn, onProgress, signal }: MotionRequest,
): Promise<CameraMotion> {
  const follower = new CameraFollower();
  const found: (FrameMotion | null)[] = [];
  const clip = await greyFrames(ffmpeg, {
    file,
    turn,
    signal,
    onPicture: (picture) => {
      found.push(follower.add(picture));
      onProgress?.(found.length);
    },
  });
  // Of a frame that was decoded but gave no picture nothing is known.
  const frames = Array.from({ length: clip.count }, (_, n) => found[n] ?? null);
  const motion = judgeMotion(frames, clip);
  return clip.sizeChanges ? { ...motion, warnings: [...motion.warnings, sizeChanges(clip.count)] } : motion;
}
