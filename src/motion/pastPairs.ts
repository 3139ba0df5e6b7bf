import type { Straightening } from "../ice/camera/bend.ts";
import type { LearnedBend } from "../study/types.ts";
import type { KeyFrame, Standing } from "./keyFrame.ts";
import { learnBend, type Pair } from "./learnBend.ts";
import { centreOf, chained, inverse, mapped, type PlaneMap, type Size } from "./planeMap.ts";

/** What was found of a frame that was told. */
export interface Past {
  readonly frame: number;
  /** The key frame that it was held against, and the one that was learned from it. */
  readonly key: Standing;
  readonly becomes: Standing | null;
  /** How far it lies from its key frame, in widths of the picture. */
  readonly pan: number;
  /** Its places, see `packed`. */
  readonly pair: Float32Array;
}

/** Of the picture's width: nearer to its key frame a frame says little of the lens. */
const LEAST_PAN = 0.02;
/** Frames from which a lens is learned, spread over the pan. */
const MOST_PAIRS = 12;

/** How far a frame's picture lies from its key frame's, in widths. */
export function panOf(map: PlaneMap, key: KeyFrame, size: Size): number {
  const centre = centreOf(size);
  const to = mapped(chained(map, inverse(key.at.map)), centre.x, centre.y);
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
  return learnBend(
    chosen.map(({ pair }) => pairOf(pair)),
    size,
    near?.bend ?? null,
    of,
  );
}

/** Numbers of one place: from, to, trust, weight. */
const NUMBERS = 6;

/** Places of a pair to a ten-thousandth of a pixel, without the key frame's patches, which are large. */
export function packed({ matches, weights }: Pair): Float32Array {
  const pack = new Float32Array(NUMBERS * matches.length);
  matches.forEach(({ from, to, trust }, i) => {
    pack.set([from.x, from.y, to.x, to.y, trust, weights[i]!], NUMBERS * i);
  });
  return pack;
}

export function pairOf(pack: Float32Array): Pair {
  const at = (i: number, k: number) => pack[NUMBERS * i + k]!;
  const count = pack.length / NUMBERS;
  return {
    matches: Array.from({ length: count }, (_, i) => ({
      from: { x: at(i, 0), y: at(i, 1) },
      to: { x: at(i, 2), y: at(i, 3) },
      trust: at(i, 4),
    })),
    weights: Array.from({ length: count }, (_, i) => at(i, 5)),
  };
}
