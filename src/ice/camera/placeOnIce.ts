import type { Lens } from "../../study/types.ts";
import { calculation, linear } from "../../uncertainty/uncertain.ts";
import { type Camera, ray } from "./camera.ts";
import { PLACE_AT } from "./fitCamera.ts";
import type { UncertainCamera, UncertainMark, UncertainPlace } from "./ground.ts";
import { isWithinReach, undistort } from "./lens.ts";
import { byDeviation, raySlopes } from "./raySlopes.ts";

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
  const whole = calculation((u, v, ...d) => {
    const { camera: moved, straighten } = view.at(d);
    const [ax, ay, az] = ray(moved, ...straighten(u!, v!));
    return [moved.x - (moved.z * ax) / az, moved.y - (moved.z * ay) / az];
  }, inputs);
  // The place is camera + reach × ray: a turn of the ray moves it along the ice.
  const reach = -camera.z / rz;
  const turns = [slopes.byU, slopes.byV, ...byDeviation(slopes, deviations.length)];
  const alongX = turns.map((turn) => (turn ? reach * (turn[0] - (rx * turn[2]) / rz) : 0));
  const alongY = turns.map((turn) => (turn ? reach * (turn[1] - (ry * turn[2]) / rz) : 0));
  const place = 2 + PLACE_AT;
  [alongX[place], alongY[place + 1]] = [1, 1];
  [alongX[place + 2], alongY[place + 2]] = [-rx / rz, -ry / rz];
  return {
    x: linear(camera.x + reach * rx, inputs, alongX, whole, 0),
    y: linear(camera.y + reach * ry, inputs, alongY, whole, 1),
  };
}
