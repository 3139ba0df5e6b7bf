import { type Matrix3, multiply } from "../../camera/matrix3.ts";
import type { Background } from "./background.ts";
import { type Eye, turnBetween, turnOf } from "./turns.ts";

/** How a camera turned from the first of some frames to each of them; shorter than they are where the background is lost on the way. */
export interface Chain {
  /** Takes directions in the first frame's camera axes into each one's. */
  readonly rotations: readonly Matrix3[];
  /** Log focal length of each. */
  readonly logFocals: readonly number[];
  /** Growth of the log focal length to the last as the background has it; what the ends' own focal lengths have over it is spread over the way. */
  readonly zoom: number;
  /** How far the picture has gone to each, px. */
  readonly way: readonly number[];
}

const UNTURNED: Matrix3 = [1, 0, 0, 0, 1, 0, 0, 0, 1];
/** px a frame that does not move is worth, so that the way grows with every frame. */
const LEAST_WAY = 0.001;

/**
 * Turns from frame to frame, one after the other.
 *
 * @param focals of the first and the last frame, px; null = that of the last is not known otherwise
 */
export function chainOf(
  background: Background,
  eye: Eye,
  frames: readonly number[],
  [start, end]: readonly [number, number | null],
  zooms: boolean,
): Chain {
  const fixed = frames.map(() => Math.log(start));
  if (!zooms) return { ...turnsAlong(background, eye, frames, fixed), logFocals: fixed, zoom: 0 };
  const rough = turnsAlong(background, eye, frames, [Math.log(start)]);
  const { zooms: grown, way } = rough;
  const zoom = grown[grown.length - 1]!;
  const gap = end === null ? 0 : Math.log(end / start) - zoom;
  const whole = way[way.length - 1]! || 1;
  const logFocals = grown.map((z, n) => Math.log(start) + z + gap * (way[n]! / whole));
  return { ...turnsAlong(background, eye, frames.slice(0, grown.length), logFocals), logFocals, zoom };
}

/** @param logFocals of every frame; of the first alone = found on the way */
function turnsAlong(
  background: Background,
  eye: Eye,
  frames: readonly number[],
  logFocals: readonly number[],
) {
  const rotations = [UNTURNED];
  const zooms = [0];
  const way = [0];
  const isKnown = logFocals.length > 1;
  for (let n = 1; n < frames.length; n++) {
    const before = isKnown ? logFocals[n - 1]! : logFocals[0]! + zooms[n - 1]!;
    const f0 = Math.exp(before);
    const f1 = isKnown ? Math.exp(logFocals[n]!) : f0;
    const turn = turnBetween(background, eye, [frames[n - 1]!, frames[n]!], [f0, f1], !isKnown);
    if (!turn) break;
    rotations.push(multiply(turn.rotation, rotations[n - 1]!));
    zooms.push(zooms[n - 1]! + turn.zoom);
    const [pitch, yaw] = turnOf(turn.rotation);
    way.push(way[n - 1]! + f0 * Math.hypot(pitch, yaw) + LEAST_WAY);
  }
  return { rotations, zooms, way };
}
