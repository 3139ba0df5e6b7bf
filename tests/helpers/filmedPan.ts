import { MeasureError } from "../../src/errors.ts";
import type { FittedScale } from "../../src/ice/camera/ground.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { FramePoints, IcePoint } from "../../src/study/types.ts";
import { type Panning, pannedTrial } from "./pannedTrial.ts";
import { seeded } from "./random.ts";
import { ORDINARY, simulateSkater } from "./skater.ts";

/* One skater filmed by a camera that pans, from three places, and the scale of the ice from what it shows. */

const vary = (n: number) => 0.04 * Math.sin(3 * n);
export const skater = simulateSkater({ ...ORDINARY, strides: 6, speed: 7, startX: 11, heading: 0.02, vary });
const follow = (time: number) =>
  [11 + 7 * time + 0.5 * Math.sin(5 * time), 0.2 * Math.cos(4 * time)] as const;

export const VIEWS = {
  side: { from: [18, -9, 3], hfovAt: () => 40, aimAt: follow },
  "45 from behind": { from: [5, -9, 3], hfovAt: () => 30, aimAt: follow },
  finish: { from: [42, 0.4, 2.5], hfovAt: () => 20, aimAt: follow },
} as const;

export function panning(
  view: Pick<Panning, "from" | "hfovAt" | "aimAt">,
  more: Partial<Panning> = {},
): Panning {
  return {
    ...view,
    fps: 60,
    noisePx: 0,
    statedSdPx: 1,
    random: seeded(1),
    keyPoints: 8,
    keyFrames: 3,
    framePoints: 2,
    ...more,
  };
}

export const PICTURE = { width: 1920, height: 1080 };

export function filmed(view: keyof typeof VIEWS = "side", more: Partial<Panning> = {}) {
  return pannedTrial(skater, panning(VIEWS[view], more));
}

export function scaleOf(frames: readonly FramePoints[], markSd = 1): FittedScale {
  return fitScale({ kind: "ice-points-by-frame", frames }, PICTURE, markSd);
}

export function refusal(frames: readonly FramePoints[]): MeasureError {
  try {
    scaleOf(frames);
  } catch (error) {
    if (error instanceof MeasureError) return error;
    throw error;
  }
  throw new Error("nothing was refused");
}

/** The points of some frames changed. */
export const changed = (
  frames: readonly FramePoints[],
  which: (f: FramePoints, k: number) => boolean,
  change: (points: readonly IcePoint[]) => readonly IcePoint[],
) => frames.map((f, k) => (which(f, k) ? { ...f, points: change(f.points) } : f));
