import type { Lens } from "../../study/types.ts";
import { Together } from "../../uncertainty/together.ts";
import { calculation, type Uncertain } from "../../uncertainty/uncertain.ts";
import { type Camera, ray } from "./camera.ts";
import { PLACE_AT } from "./fitCamera.ts";
import type { UncertainCamera, UncertainMark, UncertainPlace } from "./ground.ts";
import { isWithinReach, undistort } from "./lens.ts";
import { byDeviation, raySlopes, type Vector } from "./raySlopes.ts";

/** Where the ray of a picture point meets the ice; null at and above the horizon, and beyond the lens's reach. */
export function meetIce(camera: Camera, lens: Lens, u: number, v: number): readonly [number, number] | null {
  if (!isWithinReach(lens, camera, u, v)) return null;
  const [rx, ry, rz] = ray(camera, ...undistort(lens, camera, u, v));
  if (rz >= 0) return null;
  return [camera.x - (camera.z * rx) / rz, camera.y - (camera.z * ry) / rz];
}

/** `meetIce` with the uncertainty of mark and camera. */
export function placeOnIce(view: UncertainCamera, mark: UncertainMark): UncertainPlace | null {
  const { camera, deviations } = view;
  if (!isWithinReach(view.lens, camera, mark.u.value, mark.v.value)) return null;
  const slopes = raySlopes(camera, view.lens, mark.u.value, mark.v.value);
  const [rx, ry, rz] = slopes.ray;
  if (rz >= 0) return null;
  const inputs = [mark.u, mark.v, ...deviations];
  const whole = calculation(([u, v, ...d]) => {
    const { camera: moved, straighten } = view.at(d);
    const [ax, ay, az] = ray(moved, ...straighten(u!, v!));
    return [moved.x - (moved.z * ax) / az, moved.y - (moved.z * ay) / az];
  }, inputs);
  // The place is camera + reach × ray: a turn of the ray moves it along the ice.
  const reach = -camera.z / rz;
  const alongX = (turn: Vector) => reach * (turn[0] - (rx * turn[2]) / rz);
  const alongY = (turn: Vector) => reach * (turn[1] - (ry * turn[2]) / rz);
  const turns = byDeviation(slopes, deviations.length);
  const byX = turns.map((turn) => (turn ? alongX(turn) : 0));
  const byY = turns.map((turn) => (turn ? alongY(turn) : 0));
  [byX[PLACE_AT], byY[PLACE_AT + 1]] = [1, 1];
  [byX[PLACE_AT + 2], byY[PLACE_AT + 2]] = [-rx / rz, -ry / rz];
  const left = leftOpen(deviations);
  const marks = (along: typeof alongX) =>
    [
      [along(slopes.byU), mark.u],
      [along(slopes.byV), mark.v],
    ] as const;
  return {
    x: left.linear(camera.x + reach * rx, marks(alongX), byX, whole, 0),
    y: left.linear(camera.y + reach * ry, marks(alongY), byY, whole, 1),
  };
}

/** A camera's deviations serve every mark of its frames. */
function leftOpen(deviations: readonly Uncertain[]): Together {
  const known = togethers.get(deviations);
  if (known) return known;
  const made = new Together(deviations);
  togethers.set(deviations, made);
  return made;
}

const togethers = new WeakMap<readonly Uncertain[], Together>();
