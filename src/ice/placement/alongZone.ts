import { lengthLimit, positionLimit, WIDEST_U95 } from "../../quantities/limits.ts";
import type { CameraPlan } from "../../study/types.ts";
import type { Camera } from "../camera/camera.ts";
import { plannedCamera, seesSkater } from "./cameraPlan.ts";
import { type Expected, expectedPrecision, type Sight } from "./expectedPrecision.ts";

export type PlannedQuantity = keyof Expected;

export const PLANNED: readonly PlannedQuantity[] = [
  "strideWidth",
  "touchdown",
  "recovery",
  "strideLength",
  "armForeAft",
  "armAcross",
];

/** The widest u95 a stride is shown with; arms: three directions of swing are told apart up to here. */
export const MOST: Readonly<Record<PlannedQuantity, number>> = {
  strideWidth: WIDEST_U95,
  touchdown: positionLimit(0),
  recovery: positionLimit(0),
  strideLength: lengthLimit(0),
  armForeAft: (22.5 * Math.PI) / 180,
  armAcross: (22.5 * Math.PI) / 180,
};

/** From farther to the side than this, mid-hip's place across the lane is a guess along the line of view. */
const SIDE_VIEW = Math.PI / 3;

export interface AtPoint {
  /** Metres along the lane. */
  readonly x: number;
  /** Feet to head in the picture. */
  readonly seen: boolean;
  readonly distance: number;
  /** Angle between line of view and lane, radians, 0 … π/2. */
  readonly angle: number;
  readonly expected: Expected;
}

/** The middle of the lane at `x`, seen from the camera. */
export function sightOf(camera: Camera, fps: number, markSdPx: number, x: number): Sight {
  const dx = x - camera.x;
  return {
    distance: Math.hypot(dx, camera.y),
    height: camera.z,
    angle: Math.atan2(Math.abs(camera.y), Math.abs(dx)),
    focalPx: camera.focalPx,
    fps,
    markSdPx,
  };
}

/**
 * What to expect at points along the measured zone, `count` of them from end to end.
 *
 * @param zone first and last x, metres, increasing
 * @throws {MeasureError} `bad-camera-plan`
 */
export function alongZone(
  plan: CameraPlan,
  zone: readonly [number, number],
  markSdPx: number,
  count: number,
): readonly AtPoint[] {
  const camera = plannedCamera(plan);
  return placesAlong(zone, count).map((x) => ({
    ...expectedAt(camera, plan.fps, markSdPx, x),
    seen: seesSkater(camera, plan, x),
  }));
}

/** `count` places of the zone from end to end, metres along the lane. */
export function placesAlong(zone: readonly [number, number], count: number): readonly number[] {
  return Array.from({ length: count }, (_, i) => zone[0] + ((zone[1] - zone[0]) * i) / (count - 1));
}

/** What a place would give if it were in the picture: wherever the camera looks, it is the same. */
export function expectedAt(camera: Camera, fps: number, markSdPx: number, x: number): Omit<AtPoint, "seen"> {
  const sight = sightOf(camera, fps, markSdPx, x);
  return { x, distance: sight.distance, angle: sight.angle, expected: expectedPrecision(sight) };
}

/** Why a quantity can't be measured at a point, in a coach's words; null when it can. */
export function refusalAt(point: AtPoint, quantity: PlannedQuantity): string | null {
  if (!point.seen) return "The skater is not wholly in the picture there.";
  return refusalInPicture(point, quantity);
}

/** The same of a point that is in the picture. */
export function refusalInPicture(point: Omit<AtPoint, "seen">, quantity: PlannedQuantity): string | null {
  if (quantity === "recovery" && point.angle > SIDE_VIEW) {
    return "From the side the picture does not show where the hips are across the lane.";
  }
  if (point.expected[quantity] <= MOST[quantity]) return null;
  return REASON[quantity];
}

const REASON: Readonly<Record<PlannedQuantity, string>> = {
  strideWidth: "Too low for its distance and angle: a pixel covers too much of the lane's width.",
  touchdown: "Too low for its distance and angle: a pixel covers too much of the lane's width.",
  recovery: "Too far to the side: the hips can't be placed across the lane.",
  strideLength: "Too much along the lane: a pixel covers too much of its length, or too few frames a second.",
  armForeAft: "Too far away, or the swing points at the camera.",
  armAcross: "Too far away, or the swing points at the camera.",
};
