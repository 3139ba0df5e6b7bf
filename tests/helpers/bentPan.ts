/**
 * A camera that turns and the lens it looks through, in closed form, for checks of what is learned from its pictures; no code of `src`.
 * Directions: turned about the vertical axis (rad), then down.
 */
export interface Eye {
  readonly width: number;
  readonly height: number;
  readonly hfovDeg: number;
  /** How many focal lengths from the axis something is seen that a pinhole would show at r. */
  readonly seen: (r: number) => number;
}

type Place = readonly [x: number, y: number];

/** Brown (1971), Photogrammetric Engineering 37(8), 855-866. */
export const brown =
  (k1: number, k2 = 0) =>
  (r: number): number =>
    r * (1 + k1 * r * r + k2 * r ** 4);

/** A lens that keeps angles (Devernay and Faugeras 2001, Machine Vision and Applications 13, 14-24); at w = 1 equidistant. */
export const angles =
  (w: number) =>
  (r: number): number =>
    Math.atan(w * r) / w;

/** What somebody turned by `pan` and `tilt` sees at a place of the picture of somebody who is not. */
export function seenByTurned(eye: Eye, pan: number, tilt: number, [x, y]: Place): Place | null {
  const { focal, cx, cy } = inner(eye);
  const [a, b] = [(x - cx) / focal, (y - cy) / focal];
  const r = pinholeOf(eye, Math.hypot(a, b));
  const share = r / Math.max(1e-12, Math.hypot(a, b));
  return seenAlong(eye, pan, tilt, [share * a, share * b, 1]);
}

/** Where somebody turned so sees a direction of somebody who is not (x right, y down, z ahead). */
export function seenAlong(
  eye: Eye,
  pan: number,
  tilt: number,
  [x, y, z]: readonly [number, number, number],
): Place | null {
  const { focal, cx, cy } = inner(eye);
  const [u, w] = [Math.cos(pan) * x - Math.sin(pan) * z, Math.sin(pan) * x + Math.cos(pan) * z];
  const [v, depth] = [Math.cos(tilt) * y - Math.sin(tilt) * w, Math.sin(tilt) * y + Math.cos(tilt) * w];
  if (depth < 0.3 * Math.hypot(u, v)) return null;
  const r = Math.hypot(u, v) / depth;
  // Beyond its fold a polynomial would bring far places back into the picture.
  if (eye.seen(1.001 * r) < eye.seen(r)) return null;
  const times = (focal * (r > 0 ? eye.seen(r) / r : 1)) / depth;
  return [cx + times * u, cy + times * v];
}

function inner({ width, height, hfovDeg }: Eye) {
  const focal = width / 2 / Math.tan((hfovDeg * Math.PI) / 360);
  return { focal, cx: (width - 1) / 2, cy: (height - 1) / 2 };
}

/** By halving: what a pinhole would show where this lens shows something. */
function pinholeOf({ seen }: Eye, at: number): number {
  let [low, high] = [0, 2 * at + 1e-9];
  for (let round = 0; round < 60; round++) {
    const middle = (low + high) / 2;
    if (seen(middle) < at) low = middle;
    else high = middle;
  }
  return low;
}
