import { project } from "../../../sample-clips/make/camera.ts";
import type { Filmed, Happening } from "../../../sample-clips/make/happenings.ts";
import { pointOf } from "../../../sample-clips/make/truth.ts";
import type { Mark, PointName, Side } from "../../../src/study/types.ts";

/** An event that is to be marked, and whose blade it is about. */
export type Wanted = Happening & { readonly side: Side };

/** Event frames farther from the true one than this belong to another stride. */
export const SAME_EVENT = 8;

/** Where the renderer's own point is seen, px. */
export function placeOf({ clip, run, times }: Filmed, frame: number, point: PointName, side: Side) {
  return project(clip.camera, pointOf(run.poseAt(times[frame]!)[side], point));
}

export type Put = Pick<Mark, "frame" | "point" | "side">;
export const keyOf = ({ frame, point, side }: Put) => `${frame} ${point} ${side}`;

export function whereIs(world: Filmed, { frame, point, side }: Put): { xPx: number; yPx: number } {
  const { x, y } = placeOf(world, frame, point, side);
  return { xPx: x, yPx: y };
}

/** Its own blade and both hips. */
export function wantedPoints(h: Wanted): [PointName, Side][] {
  return [
    ["blade_heel", h.side],
    ["blade_toe", h.side],
    ["hip", "left"],
    ["hip", "right"],
  ];
}

/** Everything that is to be marked lies in the picture, and so far from the clip's ends that limbs can be compared. */
export function isInside(world: Filmed, h: Wanted): boolean {
  const { width, height } = world.clip.camera;
  if (h.frame < SAME_EVENT + 1 || h.frame > world.times.length - SAME_EVENT - 2) return false;
  return wantedPoints(h).every(([point, side]) => {
    const { x, y } = placeOf(world, h.frame, point, side);
    return x > 2 && y > 2 && x < width - 3 && y < height - 3;
  });
}
