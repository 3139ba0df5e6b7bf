import type { PlaneFit } from "../camera/fitPlane.ts";
import { iceToPicture } from "../camera/homography.ts";
import { slopes } from "./weighedPairs.ts";

/**
 * Whether a camera above the ice could see the places so: every one of them in front of it, and none mirrored (the
 * picture's rows grow downwards, so the ice seen from above is turned the other way round in it). One place is not enough:
 * two of four points exchanged make a plane that is right in the middle and folded at the points.
 */
export function isSeenFromAbove(
  plane: PlaneFit,
  places: readonly { readonly x: number; readonly y: number }[],
): boolean {
  const front = iceToPicture(plane.homography, plane.ice.x, plane.ice.y)[2];
  return places.every(({ x, y }) => {
    const w = iceToPicture(plane.homography, x, y)[2];
    const [ux, uy, vx, vy] = slopes(plane.homography, x, y);
    return w * front > 0 && ux * vy - uy * vx < 0;
  });
}
