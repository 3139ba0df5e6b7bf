import type { Straightening } from "../ice/camera/bend.ts";
import type { LearnedBend } from "../study/types.ts";
import type { KeyFrame } from "./keyFrame.ts";
import { learnBend, type Pair } from "./learnBend.ts";
import { centreOf, chained, inverse, mapped, type PlaneMap, type Size } from "./planeMap.ts";

/** What was found of a frame that was told, and against which key frame. */
export interface Past extends Pair {
  readonly frame: number;
  readonly key: KeyFrame;
  /** The key frame that was learned from it. */
  readonly becomes: KeyFrame | null;
  /** How far it lies from it, in widths of the picture. */
  readonly pan: number;
}

/** Of the picture's width: nearer to its key frame a frame says little of the lens. */
const LEAST_PAN = 0.02;
/** Frames from which a lens is learned, spread over the pan. */
const MOST_PAIRS = 12;

/** How far a frame's picture lies from its key frame's, in widths. */
export function panOf(map: PlaneMap, key: KeyFrame, size: Size): number {
  const centre = centreOf(size);
  const to = mapped(chained(map, inverse(key.map)), centre.x, centre.y);
  return Math.hypot(to.x - centre.x, to.y - centre.y) / size.width;
}

/** The lens by frames of the past that lie apart from their key frames. */
export function learnFrom(
  past: readonly Past[],
  size: Size,
  near: Straightening | null,
  of: Parameters<typeof learnBend>[3],
): LearnedBend | null {
  const apart = past.filter(({ pan }) => pan > LEAST_PAN);
  const every = Math.max(1, apart.length / MOST_PAIRS);
  const chosen = Array.from(
    { length: Math.min(MOST_PAIRS, apart.length) },
    (_, k) => apart[apart.length - 1 - Math.floor(k * every)]!,
  );
  return learnBend(chosen, size, near?.bend ?? null, of);
}
