/** The measured lane on the rink and what is laid beside it. Lane frame, metres. */
import type { Camera } from "./camera.ts";

/** The lane lies along the rink's long axis, its start line 18 m before the centre spot. */
export const LANE = { startRinkX: -18, length: 30 } as const;

export const toLaneX = (rinkX: number): number => rinkX - LANE.startRinkX;

/** Photocells on tripods beside the lane. */
export const GATES = [0, 30] as const;
export const GATE_Y = 1.8;
export const GATE_HEIGHT = 1.0;

export interface LaneMark {
  readonly label: string;
  readonly x: number;
  readonly y: number;
}

const pairsAt = (xs: readonly number[], first: number): LaneMark[] =>
  xs.flatMap((x, i) => [
    { label: `P${first + 2 * i}`, x, y: 1.5 },
    { label: `P${first + 2 * i + 1}`, x, y: -1.5 },
  ]);

/** Crosses on the ice for every clip. */
export const LANE_MARKS: readonly LaneMark[] = pairsAt([1, 8, 15, 22, 29], 1);
/** Laid as well while the bench camera filmed, whose picture holds 12 m of the lane. */
export const BENCH_MARKS: readonly LaneMark[] = pairsAt([12, 18, 24], 11);

/** Facing the skater from behind the end glass; every clip's aim differs a little, as tripods do. */
export function facingCamera(nudge: number): Camera {
  return {
    place: [49.5 + 0.1 * nudge, 1.0 + 0.15 * nudge, 3.4 + 0.08 * nudge],
    aim: [18.6 + 0.12 * nudge, 0.05 * nudge, 0],
    hfovDeg: 16.6,
    width: 1280,
    height: 720,
  };
}

/** From the bench, across the lane. */
export const BENCH_CAMERA: Camera = {
  place: [17.6, -16, 5.6],
  aim: [18, 0.35, 0],
  hfovDeg: 49,
  width: 1280,
  height: 720,
};
