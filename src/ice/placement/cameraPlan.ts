import { MeasureError } from "../../errors.ts";
import type { CameraPlan } from "../../study/types.ts";
import { type Camera, project } from "../camera/camera.ts";

/** Half of what the feet of a wide stride spread to the sides, and a tall skater's height, metres. [common practice, no source] */
const HALF_STRIDE = 0.8;
const HEAD = 1.85;

/**
 * The camera a plan describes: level from side to side, looking at the aimed point of the ice, square pixels.
 *
 * @throws {MeasureError} `bad-camera-plan`, naming the first number no camera can have
 */
export function plannedCamera(plan: CameraPlan): Camera {
  checkPlan(plan);
  const dx = plan.aimX - plan.x;
  const dy = plan.aimY - plan.y;
  const level = Math.hypot(dx, dy);
  const length = Math.hypot(level, plan.height);
  const [rx, ry] = [dy / level, -dx / level];
  const [fx, fy, fz] = [dx / length, dy / length, -plan.height / length];
  return {
    focalPx: plan.widthPx / 2 / Math.tan((plan.hfovDeg * Math.PI) / 360),
    cx: (plan.widthPx - 1) / 2,
    cy: (plan.heightPx - 1) / 2,
    rotation: [rx, ry, 0, -fz * ry, fz * rx, fx * ry - fy * rx, fx, fy, fz],
    x: plan.x,
    y: plan.y,
    z: plan.height,
  };
}

/** Whether a skater at `x` along the lane is wholly in the picture, feet to head. */
export function seesSkater(camera: Camera, plan: CameraPlan, x: number): boolean {
  for (const y of [-HALF_STRIDE, HALF_STRIDE]) {
    for (const z of [0, HEAD]) {
      const [u, v, depth] = project(camera, x, y, z);
      if (!(depth > 0 && u >= 0 && v >= 0 && u <= plan.widthPx - 1 && v <= plan.heightPx - 1)) return false;
    }
  }
  return true;
}

function checkPlan(plan: CameraPlan): void {
  const refuse = (message: string, coach: string) => {
    throw new MeasureError("bad-camera-plan", `plannedCamera needs ${message}`, coach);
  };
  for (const [name, value] of Object.entries(plan)) {
    if (!Number.isFinite(value))
      refuse(`a number for ${name}, got ${value}`, `The camera's ${name} is not a number.`);
  }
  if (!(plan.height > 0 && plan.height <= 30)) {
    refuse(
      `0 < height <= 30 m, got ${plan.height}`,
      "A camera stands more than 0 and up to 30 m above the ice.",
    );
  }
  if (!(plan.hfovDeg >= 2 && plan.hfovDeg <= 140)) {
    refuse(
      `2 <= hfovDeg <= 140, got ${plan.hfovDeg}`,
      "A lens sees between 2° and 140° from side to side; wider ones bend the picture too much.",
    );
  }
  if (!(plan.widthPx >= 100 && plan.heightPx >= 100 && plan.widthPx <= 20000 && plan.heightPx <= 20000)) {
    refuse(
      `a picture of 100 to 20000 px, got ${plan.widthPx} x ${plan.heightPx}`,
      "Give the picture's size in pixels, as 1920x1080.",
    );
  }
  if (!(plan.fps >= 1 && plan.fps <= 2000)) {
    refuse(
      `1 to 2000 frames a second, got ${plan.fps}`,
      "Give the clip's rate in frames a second, 1 to 2000.",
    );
  }
  if (Math.hypot(plan.aimX - plan.x, plan.aimY - plan.y) < 0.5) {
    refuse(
      "an aim at least 0.5 m from the camera",
      "The camera must look at a point of the ice at least half a metre away from where it stands.",
    );
  }
}
