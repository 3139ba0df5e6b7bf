import type { PicturePoint, Scale } from "../types.ts";

/** Half as wide as it is drawn where the ice reference is wider, metres: more than any lane that is skated alone. */
const HALF_WIDTH = 2.5;
/** Beams of photocells stand about so high (common practice, no source), metres. */
const BEAM = 1;
/** Many short steps, because a lens bends straight lines. */
const STEPS = 10;

/** A gate as the picture shows it, px: x1, y1, x2, y2, … */
export interface GateLine {
  /** On the ice, across the lane. */
  readonly ice: readonly number[];
  /** The plane above it, as far as beams stand; null without a camera. */
  readonly above: readonly number[] | null;
  readonly label: PicturePoint;
}

/**
 * The line between the posts of a gate, as wide as the ice reference reaches, and the plane over it.
 *
 * @param gate metres along the lane
 * @returns null where the picture does not show it, or the scale does not reach there
 */
export function gateLine(scale: Scale, gate: number, frame: number): GateLine | null {
  const xs = scale.hull.map((p) => p.x);
  if (scale.hull.length < 3 || gate < Math.min(...xs) - 1 || gate > Math.max(...xs) + 1) return null;
  const ys = scale.hull.map((p) => p.y);
  const [from, to] = [Math.max(-HALF_WIDTH, Math.min(...ys)), Math.min(HALF_WIDTH, Math.max(...ys))];
  if (from >= to) return null;
  const across = (z: number) => {
    const points = Array.from({ length: STEPS + 1 }, (_, k) =>
      scale.toPicture(gate, from + ((to - from) * k) / STEPS, z, frame),
    );
    return points.every((p) => p !== null) ? points : null;
  };
  const [ice, beam] = [across(0), across(BEAM)];
  const end = ice?.at(-1);
  if (!ice || !end) return null;
  const flat = (points: readonly PicturePoint[]) => points.flatMap((p) => [p.xPx, p.yPx]);
  const foot = ice[0] as PicturePoint;
  return { ice: flat(ice), above: beam && flat([foot, ...beam, end]), label: end };
}
