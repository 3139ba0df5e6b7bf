import type { FrameDoubt } from "../ice/types.ts";
import type { ClipMotion, LearnedBend, Picture } from "../study/types.ts";
import { ALIKE_PX } from "./fitNoise.ts";
import type { FrameMotion } from "./followCamera.ts";
import type { CameraMotion } from "./judgeMotion.ts";
import { reachOf } from "./planeMap.ts";

/** Digits that a thousandth of a pixel at the edge of a picture of 4 000 px asks for: of what multiplies a place, a shift, a slant. */
const MAP_DIGITS = [7, 7, 4, 7, 7, 4, 11, 11];
const PX_DIGITS = 4;
const BEND_DIGITS = 7;

/** What was found of a clip's motion, as a trial keeps it; of a camera that stood still, or that can't be told, without frames. */
export function keptMotion(
  { still, noisePx, frames, bumps, bend }: CameraMotion,
  clip: string,
  first: number,
  picture: Picture,
): ClipMotion {
  const reach = reachOf(picture);
  return {
    clip,
    still,
    noisePx: noisePx === null ? null : rounded(Math.max(noisePx, 1e-4), PX_DIGITS),
    first,
    frames: still === false ? frames.map((motion) => motion && entryOf(motion, reach)) : [],
    bumps: bumps.map(({ frame, dxPx, dyPx }) => ({
      frame: frame + first,
      dxPx: rounded(dxPx, 3),
      dyPx: rounded(dyPx, 3),
    })),
    ...(still === false && bend && { bend: writtenBend(bend) }),
  };
}

/** A lens, to as many digits as it is written with. */
export function writtenBend({ second, fourth, drift }: LearnedBend): LearnedBend {
  const [a, b, c] = [second, fourth, drift].map((v) => rounded(v, BEND_DIGITS)) as [number, number, number];
  return { second: a, fourth: b, drift: c };
}

function entryOf(motion: FrameMotion, reach: number): readonly number[] {
  const { shiftPx, turnPx } = frameDoubt(motion, reach);
  return [...writtenMap(motion), shiftPx, turnPx];
}

/** The first eight numbers of a frame's map (the ninth is 1), to as many digits as they are written with. */
export function writtenMap({ map }: Pick<FrameMotion, "map">): number[] {
  return MAP_DIGITS.map((digits, k) => rounded(map[k]!, digits));
}

/** What following a frame leaves open of where it lies, as it is written. @param reach see `reachOf` */
export function frameDoubt({ variance }: Pick<FrameMotion, "variance">, reach: number): FrameDoubt {
  const shift = Math.hypot(Math.sqrt((variance.dxPx + variance.dyPx) / 2), ALIKE_PX);
  const turn = Math.sqrt((variance.turnDeg * (Math.PI / 180) ** 2 + variance.scale) / 2) * reach;
  return { shiftPx: rounded(shift, PX_DIGITS), turnPx: rounded(turn, PX_DIGITS) };
}

/** Without a minus before 0. */
function rounded(value: number, digits: number): number {
  return Number(value.toFixed(digits)) + 0;
}
