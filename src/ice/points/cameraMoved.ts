import type { Warning } from "../../reading.ts";
import type { IcePoint, IceRecheck } from "../../study/types.ts";
import type { PlaneFit } from "../camera/fitPlane.ts";
import { predicted } from "./judgePoints.ts";

/** An ice point that is farther than this from its place on a later frame means that the camera was moved, px. */
const STILL_PX = 3;

/**
 * Whether ice points marked again on later frames are still where the scale has them: a tripod that was bumped
 * makes every number wrong by centimetres (0.1 degrees of tilt: 5 to 14 cm). A point that is no longer in the
 * reference says nothing.
 */
export function movedCamera(
  rechecks: readonly IceRecheck[],
  points: readonly IcePoint[],
  plane: PlaneFit,
): Warning[] {
  const shifts = rechecks.flatMap((again) => {
    const point = points.find((p) => p.label === again.label);
    if (!point) return [];
    const [u, v] = predicted(plane, point);
    return [{ ...again, px: Math.hypot(again.xPx - u, again.yPx - v) }];
  });
  const worst = shifts.reduce<(typeof shifts)[number] | null>((a, b) => (a && a.px >= b.px ? a : b), null);
  if (!worst || worst.px <= STILL_PX) return [];
  return [
    {
      code: "camera-moved",
      text: `The camera moved: on frame ${worst.frame} ice point ${worst.label} is ${worst.px.toFixed(1)} px from where it was. What was marked after it moved is wrong. Mark the ice points anew on the frames that are measured, as for a camera that pans.`,
    },
  ];
}
