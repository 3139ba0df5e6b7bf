import type { CameraPlan } from "../../study/types.ts";
import { K95 } from "../../uncertainty/uncertain.ts";
import { type AtPoint, alongZone, PLANNED, type PlannedQuantity, refusalAt } from "./alongZone.ts";
import { bestSpots, type Goal } from "./bestSpot.ts";
import { plannedCamera } from "./cameraPlan.ts";
import { eventSd } from "./expectedPrecision.ts";
import { placementAdvice } from "./placementAdvice.ts";

export interface Placement {
  readonly plan: CameraPlan;
  /** First and last x of the measured zone, metres. */
  readonly zone: readonly [number, number];
  /** Length of the lane, metres. */
  readonly lane: number;
  readonly markSdPx: number;
}

type Expectation = { readonly u95: number } | { readonly u95: null; readonly why: string };

const NAMES = {
  strideWidth: "stride_width_m",
  touchdown: "touchdown_to_track_midline_m",
  recovery: "recovery_to_midline_m",
  strideLength: "stride_length_m",
  armForeAft: "arm_swing_angle_along_deg",
  armAcross: "arm_swing_angle_across_deg",
} as const satisfies Readonly<Record<PlannedQuantity, string>>;

type Name = (typeof NAMES)[PlannedQuantity];

const POINTS = 13;
const DEGREE = Math.PI / 180;

/**
 * The `place` command's answer, format `blademark.place`: u95 of a single stride to expect along the zone.
 *
 * @throws {MeasureError} `bad-camera-plan`
 */
export function placeJson({ plan, zone, lane, markSdPx }: Placement) {
  const camera = plannedCamera(plan);
  const best = bestSpots(plan, zone, lane, markSdPx);
  const spot = (goal: Goal) => {
    const { x, y, aimX, share, worst } = best[goal];
    return {
      x_m: x,
      y_m: y,
      aim_x_m: aimX,
      aim_y_m: 0,
      share_of_zone: share,
      worst_u95_over_limit: share > 0 ? worst : null,
    };
  };
  return {
    format: "blademark.place",
    version: 1,
    camera: {
      x_m: plan.x,
      y_m: plan.y,
      height_m: plan.height,
      aim_x_m: plan.aimX,
      aim_y_m: plan.aimY,
      hfov_deg: plan.hfovDeg,
      picture: [plan.widthPx, plan.heightPx],
      fps: plan.fps,
      focal_px: camera.focalPx,
      mark_sd_px: markSdPx,
    },
    zone_m: zone,
    stride_rate_share: { u95: K95 * Math.SQRT2 * eventSd(plan.fps) * TYPICAL_RATE },
    points: alongZone(plan, zone, markSdPx, POINTS).map(pointJson),
    best_spots: { width_and_recovery: spot("width"), length_and_arms: spot("arms-and-length") },
    advice: placementAdvice(plan, zone, lane, markSdPx),
  };
}

/** Pushes a second of a sprint, for a rate's uncertainty as a share of itself. [common practice, no source] */
const TYPICAL_RATE = 3;

function pointJson(point: AtPoint) {
  const expected = PLANNED.map((quantity): [Name, Expectation] => {
    const why = refusalAt(point, quantity);
    const unit = NAMES[quantity].endsWith("_deg") ? DEGREE : 1;
    return [NAMES[quantity], why === null ? { u95: point.expected[quantity] / unit } : { u95: null, why }];
  });
  return {
    x_m: point.x,
    in_picture: point.seen,
    distance_m: point.distance,
    view_angle_deg: point.angle / DEGREE,
    ...(Object.fromEntries(expected) as Record<Name, Expectation>),
  };
}
