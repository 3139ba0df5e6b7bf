import { type Body, midHip, seen } from "./body.ts";

/** Real seconds before and after a frame over which the quick model's trunk is averaged: three frames each way at 60 a second. */
const HALF_WINDOW_S = 3 / 60;
/** How far from mid-hip towards the middle of the shoulders. [chosen on renders: docs/suggested-marks.md] */
const UP = 0.3;

/**
 * A place of the trunk a little above mid-hip, px: the mean of what the better model has in its frame and the quick model has
 * about it. Neither cares which hip is which: in dark clothes and out of focus the models take one for the other.
 *
 * @param close the better model's body
 * @param bodies the quick model's, by frame
 * @param realInterval real seconds between frames
 */
export function trunkOf(
  close: Body,
  bodies: readonly (Body | undefined)[],
  realInterval: number,
): { x: number; y: number } {
  const half = Math.round(HALF_WINDOW_S / realInterval);
  let [x, y, n] = [0, 0, 0];
  for (let k = 0; k <= half; k++) {
    const pair = [bodies[close.frame - k], bodies[close.frame + k]];
    // One without the other would draw the mean along the way she moves.
    if (pair.some((body) => !body)) continue;
    for (const body of pair) {
      const at = aboveHip(body!);
      x += at.x;
      y += at.y;
      n++;
    }
  }
  const own = aboveHip(close);
  return n === 0 ? own : { x: (own.x + x / n) / 2, y: (own.y + y / n) / 2 };
}

function aboveHip(body: Body): { x: number; y: number } {
  const [hip, left, right] = [midHip(body), seen(body, "left_shoulder"), seen(body, "right_shoulder")];
  const up = (h: number, l: number, r: number) => h + UP * ((l + r) / 2 - h);
  return { x: up(hip.x, left.x, right.x), y: up(hip.y, left.y, right.y) };
}
