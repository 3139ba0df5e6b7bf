import type { Warning } from "../reading.ts";
import { median } from "../statistics/median.ts";
import type { LearnedBend } from "../study/types.ts";
import { type Course, findSteps, shaking } from "./bumps.ts";
import { ALIKE_PX } from "./fitNoise.ts";
import type { FrameMotion } from "./followCamera.ts";
import { motionWarnings } from "./motionWarnings.ts";
import { type CentreMotion, reachOf, type Size } from "./planeMap.ts";

export interface Bump extends CentreMotion {
  /** The first frame after it. */
  readonly frame: number;
}

export interface CameraMotion {
  /** null where the background could not tell. */
  readonly frames: readonly (FrameMotion | null)[];
  /** Did the camera stand still, as far as can be seen? null = it can't be told. */
  readonly still: boolean | null;
  /** Standard deviation of one coordinate of a frame by the method itself, px. null = it can't be told. */
  readonly noisePx: number | null;
  readonly bumps: readonly Bump[];
  readonly warnings: readonly Warning[];
  /** The lens that the maps of the frames are straightened by; null or absent = none that could be seen. */
  readonly bend?: LearnedBend | null;
}

/** Of the noise: motion that exceeds so many standard deviations is no noise (one in 370 if it is normal). */
const TIMES_NOISE = 3;
/**
 * px: less is not called motion, whatever the noise. Coders alone move a picture by some hundredths (docs/camera-motion.md), all
 * of it alike, which the places among themselves can't show; and no mark is placed so well.
 */
export const LEAST_PX = 0.1;
/** px: a smaller step is not called a bump. */
const LEAST_BUMP_PX = 0.3;
/** Frames, known: fewer don't say whether a camera stood still, nor how it moved. */
export const LEAST_FRAMES = 5;
/** Share of frames that must be known for that. */
const LEAST_KNOWN = 0.5;
/** Frames whose middle one counts: a single frame that was found wrongly is no motion. */
const BLOCK = 9;

/** What the frames say of the camera: its noise, whether it stood still, steps, and what to tell a person. */
export function judgeMotion(
  frames: readonly (FrameMotion | null)[],
  size: Size,
  bend: LearnedBend | null = null,
): CameraMotion {
  const known = frames.flatMap((motion, frame) => (motion ? [{ motion, frame }] : []));
  if (known.length < LEAST_FRAMES || known.length < LEAST_KNOWN * frames.length) {
    const unknown = { frames, bend, still: null, noisePx: null, bumps: [] };
    return { ...unknown, warnings: motionWarnings(unknown, null) };
  }
  const reach = reachOf(size);
  const courses = known.map(({ motion }) => inPixels(motion, reach));
  const noises = meansOf(known.slice(1).map(({ motion }) => inPixels(motion.variance, reach, true))).map(
    Math.sqrt,
  );
  const course = [0, 1, 2, 3].map((k) => courses.map((c) => c[k]!));
  const fitNoise = Math.hypot(noises[0]!, noises[1]!) / Math.SQRT2;
  const bumps = findSteps(course, Math.max(LEAST_BUMP_PX, 2 * TIMES_NOISE * fitNoise)).map(
    ({ at, sizes }): Bump => ({
      frame: known[at]!.frame,
      dxPx: sizes[0]!,
      dyPx: sizes[1]!,
      turnDeg: ((sizes[2]! / reach) * 180) / Math.PI,
      scale: 1 + sizes[3]! / reach,
    }),
  );
  const least = noises.map((noise) => Math.max(LEAST_PX, TIMES_NOISE * noise));
  const shakes = course.map(shaking);
  const moved = course.map(farthest);
  const unsteady = shakes.some((shake, k) => shake > least[k]!);
  const moving = moved.some((far, k) => far > least[k]!);
  const still = !unsteady && !moving && bumps.length === 0;
  // Of a camera that stands still, all that was found is noise.
  const [across, down] = meansOf(courses.slice(1).map((c) => c.map((v) => v * v)));
  const found = Math.sqrt((across! + down!) / 2);
  const noisePx = still ? Math.max(fitNoise, found) : Math.hypot(fitNoise, ALIKE_PX);
  const judged = { frames, bend, still, noisePx, bumps };
  const sizes = { shakePx: unsteady ? Math.max(...shakes) : 0, movedPx: moving ? Math.max(...moved) : 0 };
  return { ...judged, warnings: motionWarnings(judged, sizes) };
}

function inPixels({ dxPx, dyPx, turnDeg, scale }: CentreMotion, reach: number, squares = false): number[] {
  const turn = (reach * Math.PI) / 180;
  return squares
    ? [dxPx, dyPx, turnDeg * turn ** 2, scale * reach ** 2]
    : [dxPx, dyPx, turnDeg * turn, (scale - 1) * reach];
}

/** Mean of each column. */
function meansOf(rows: readonly (readonly number[])[]): number[] {
  return rows[0]!.map((_, k) => rows.reduce((sum, row) => sum + row[k]!, 0) / rows.length);
}

/** The farthest from where the start was that the middle of any few frames lies, px. */
function farthest(course: Course): number {
  const length = Math.min(BLOCK, course.length);
  let most = 0;
  for (let from = 0; from + length <= course.length; from++)
    most = Math.max(most, Math.abs(median(course.slice(from, from + length))));
  return most;
}
