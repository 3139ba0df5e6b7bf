/** Which decoded frames to keep around the current one: pure, so that it can be tested without a picture. */

/** Memory the kept bitmaps may take, bytes (RGBA). */
const BUDGET_BYTES = 400e6;

/** How many decoded frames of this size fit the budget: never fewer than 5, never more than 60. */
export function ringCapacity(width: number, height: number): number {
  if (width <= 0 || height <= 0) return 5;
  return Math.max(5, Math.min(60, Math.floor(BUDGET_BYTES / (width * height * 4))));
}

export interface RingWish {
  readonly wanted: number;
  /** Direction of travel: 1 forward, -1 backward. */
  readonly direction: 1 | -1;
  /** Frames travelled at a time: 1, or 10 with Shift; the next two of these come first. */
  readonly stride: number;
  readonly capacity: number;
  /** Frames that can be had: 0 … ready-1. */
  readonly ready: number;
}

/**
 * Frames to hold, most wanted first: the wanted one, its neighbours, then two thirds of the room ahead and one
 * third behind. While the wanted frame is not ready, the nearest ready ones stand in.
 */
export function ringOrder({ wanted, direction, stride, capacity, ready }: RingWish): number[] {
  const centre = Math.min(wanted, ready - 1);
  if (centre < 0) return [];
  const ahead = Math.ceil(((capacity - 1) * 2) / 3);
  const behind = capacity - 1 - ahead;
  const frames = [centre, centre + direction * stride, centre + 2 * direction * stride].slice(0, capacity);
  for (let step = 1; step <= Math.max(ahead, behind); step++) {
    if (step <= ahead) frames.push(centre + direction * step);
    if (step <= behind) frames.push(centre - direction * step);
  }
  return [...new Set(frames)].filter((f) => f >= 0 && f < ready).slice(0, capacity);
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
