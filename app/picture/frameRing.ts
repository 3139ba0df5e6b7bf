import { type FrameRange, isReady } from "../store/clipFrames.ts";

/** Which decoded frames to keep around the current one: pure, so that it can be tested without a picture. */

/** Memory the kept bitmaps usually take at most, bytes (RGBA): with the host's own it stays under 512 MB at 1080p. */
const USUAL_BYTES = 256e6;
/** So many frames are kept even when they are larger than that … */
const ENOUGH = 12;
/** … up to this, bytes. */
const MOST_BYTES = 480e6;
const MOST_FRAMES = 60;
/** The one on the screen and the one that comes next. */
const LEAST_FRAMES = 2;

/**
 * How many decoded frames of this size to keep.
 *
 * @param sharers clips on the screen at once, which share the memory
 */
export function ringCapacity(width: number, height: number, sharers = 1): number {
  const bytes = width * height * 4 * sharers;
  if (!(bytes > 0)) return LEAST_FRAMES;
  const usual = Math.min(MOST_FRAMES, Math.floor(USUAL_BYTES / bytes));
  const large = Math.min(ENOUGH, Math.floor(MOST_BYTES / bytes));
  return Math.max(LEAST_FRAMES, usual, large);
}

export interface RingWish {
  readonly wanted: number;
  /** Direction of travel: 1 forward, -1 backward. */
  readonly direction: 1 | -1;
  /** Frames travelled at a time: 1, or 10 with Shift; the next few of these come first. */
  readonly stride: number;
  readonly capacity: number;
  /** Frames that are ready, in order. */
  readonly ranges: readonly FrameRange[];
  /** Frames one is likely to go to next, likeliest first: event frames nearby, the suggested frame. */
  readonly likely: readonly number[];
}

/** Steps as wide as the last one that come first of all. */
const STRIDES = 4;
/** Steps to either side that come before the likely frames. */
const NEAR = 3;

/**
 * Frames to hold, most wanted first: the wanted one, the next steps, the likely frames with their neighbours (a
 * quarter of the room at most), then two thirds of the rest ahead and one third behind. While the wanted frame is not
 * ready, the nearest one that is stands in.
 */
export function ringOrder(wish: RingWish): number[] {
  const { wanted, direction, stride, capacity, ranges, likely } = wish;
  const centre = nearestReady(ranges, wanted);
  if (centre === null) return [];
  const room = Math.floor(capacity / 4);
  const aside = likely.filter((f) => f !== centre && isReady(ranges, f)).slice(0, room);
  const around = aside.flatMap((f) => [f - 1, f + 1]).slice(0, room - aside.length);
  const ahead = Math.ceil(((capacity - 1) * 2) / 3);
  const behind = capacity - 1 - ahead;
  const frames = Array.from({ length: STRIDES + 1 }, (_, k) => centre + k * direction * stride);
  const walk = (from: number, to: number) => {
    for (let step = from; step <= to; step++) {
      if (step <= ahead) frames.push(centre + direction * step);
      if (step <= behind) frames.push(centre - direction * step);
    }
  };
  walk(1, NEAR);
  frames.push(...aside, ...around);
  walk(NEAR + 1, Math.max(ahead, behind));
  return [...new Set(frames)].filter((f) => isReady(ranges, f)).slice(0, capacity);
}

/** The ready frame nearest to `wanted`; null when there is none. */
function nearestReady(ranges: readonly FrameRange[], wanted: number): number | null {
  const ends = ranges
    .filter(([from, to]) => to > from)
    .map(([from, to]) => Math.max(from, Math.min(to - 1, wanted)));
  return nearestFrame(ends, wanted);
}

/** The frame to show: the wanted one if it is there, else the nearest there is; null when there is none. */
export function nearestFrame(held: Iterable<number>, wanted: number): number | null {
  let best: number | null = null;
  for (const frame of held) {
    if (frame === wanted) return frame;
    if (best === null || Math.abs(frame - wanted) < Math.abs(best - wanted)) best = frame;
  }
  return best;
}
