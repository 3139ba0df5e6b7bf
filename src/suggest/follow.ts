import { type Body, SEEN_FROM } from "./body.ts";
import type { Square } from "./pixels.ts";

/** The square's side as a multiple of the body's box. [measured: whole pictures lose 70 % of bodies, this none] */
const MARGIN = 1.3;
/** Share of the body's points that must be seen for it to be followed further. */
const FEWEST_SEEN = 0.5;

/** The box of the points that are seen, as centre and larger side; null where too few are. */
function boxOf({ points }: Body): Square | null {
  const good = points.filter((p) => p.score >= SEEN_FROM);
  if (good.length < points.length * FEWEST_SEEN) return null;
  const xs = good.map((p) => p.x);
  const ys = good.map((p) => p.y);
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  return { x: (left + right) / 2, y: (top + bottom) / 2, side: Math.max(right - left, bottom - top) };
}

/** How much of the size seen in a frame is believed: limbs swing, so a box changes from frame to frame more than the body. */
const SIZE_GAIN = 0.2;

/**
 * Where to look next: the box about the body seen last, moved on as it moved from the frame before.
 *
 * @param last the bodies seen last, latest first; one is enough
 * @returns null where the body has been lost
 */
export function nextSquare(last: readonly Body[]): Square | null {
  const [now, before] = last;
  const box = now && boxOf(now);
  if (!now || !box) return null;
  const was = before && boxOf(before);
  const size = MARGIN * box.side;
  const side = now.square.side + SIZE_GAIN * (Math.max(size, 0.7 * now.square.side) - now.square.side);
  return {
    x: box.x + (was ? box.x - was.x : 0),
    y: box.y + (was ? box.y - was.y : 0),
    side: Math.max(side, size),
  };
}

/** Whether the body lies partly outside the picture, judged by the points near its edge. */
export function isCutOff(
  { points }: Body,
  picture: { readonly width: number; readonly height: number },
): boolean {
  const edge = 0.01 * Math.max(picture.width, picture.height);
  return points.some(
    ({ x, y }) => x < edge || y < edge || x > picture.width - 1 - edge || y > picture.height - 1 - edge,
  );
}
