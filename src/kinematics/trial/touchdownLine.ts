import type { Stride } from "../types.ts";

interface Place {
  readonly x: number;
  readonly y: number;
}

/**
 * Where to draw a stride's touchdown to the track midline: from where the blade comes down, across the travel, as far
 * as was measured. Null where one of the two is missing.
 *
 * @param along two places on the line of travel, the earlier first
 */
export function touchdownLine(
  stride: Stride,
  along: { readonly before: Place; readonly after: Place },
): { readonly from: Place; readonly to: Place } | null {
  const landing = stride.readings.touchdown_to_track_midline_m;
  const [dx, dy] = [along.after.x - along.before.x, along.after.y - along.before.y];
  const length = Math.hypot(dx, dy);
  if (!stride.on || landing.value === null || length === 0) return null;
  const inward = (stride.side === "left" ? 1 : -1) * landing.value;
  const { x, y } = stride.on;
  return { from: { x, y }, to: { x: x + (inward * dy) / length, y: y - (inward * dx) / length } };
}
