import type { ClipMotion, Picture } from "../study/types.ts";
import { ALIKE_PX } from "./fitNoise.ts";
import type { CameraMotion } from "./judgeMotion.ts";
import { reachOf } from "./planeMap.ts";

/** Digits that a thousandth of a pixel at the edge of a picture of 4 000 px asks for: of what multiplies a place, a shift, a slant. */
const STRETCH_DIGITS = 7;
const SHIFT_DIGITS = 4;
const SLANT_DIGITS = 11;

/** What was found of a clip's motion, as a trial keeps it; of a camera that stood still, or that can't be told, without frames. */
export function keptMotion(
  { still, noisePx, frames, bumps }: CameraMotion,
  clip: string,
  first: number,
  picture: Picture,
): ClipMotion {
  const reach = reachOf(picture);
  return {
    clip,
    still,
    noisePx: noisePx === null ? null : rounded(Math.max(noisePx, 1e-4), SHIFT_DIGITS),
    first,
    frames: still === false ? frames.map((motion) => motion && entryOf(motion, reach)) : [],
    bumps: bumps.map(({ frame, dxPx, dyPx }) => ({
      frame: frame + first,
      dxPx: rounded(dxPx, 3),
      dyPx: rounded(dyPx, 3),
    })),
  };
}

function entryOf(
  { map, variance }: NonNullable<CameraMotion["frames"][number]>,
  reach: number,
): readonly number[] {
  const shift = Math.hypot(Math.sqrt((variance.dxPx + variance.dyPx) / 2), ALIKE_PX);
  const turn = Math.sqrt((variance.turnDeg * (Math.PI / 180) ** 2 + variance.scale) / 2) * reach;
  const digits = [0, 1, 3, 4].map((k) => [k, STRETCH_DIGITS] as const);
  const of = new Map<number, number>([...digits, [2, SHIFT_DIGITS], [5, SHIFT_DIGITS]]);
  const numbers = map.slice(0, 8).map((v, k) => rounded(v, of.get(k) ?? SLANT_DIGITS));
  return [...numbers, rounded(shift, SHIFT_DIGITS), rounded(turn, SHIFT_DIGITS)];
}

/** Without a minus before 0. */
function rounded(value: number, digits: number): number {
  return Number(value.toFixed(digits)) + 0;
}
