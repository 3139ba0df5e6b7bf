import { type Camera, ray } from "./camera.ts";

/** What is known of a point off the ice before looking: how far along the travel, and how high. Metres; `sd` positive. */
export interface AlongAndHeight {
  /** Horizontal unit vector of the travel. */
  readonly direction: readonly [x: number, y: number];
  readonly along: number;
  readonly alongSd: number;
  readonly height: number;
  readonly heightSd: number;
}

/**
 * The point on the ray through (u, v) that is most likely, given Gaussian beliefs about its place along the
 * travel and its height: the minimum of ((along − along₀)/sd)² + ((z − height₀)/sd)², in closed form.
 */
export function likeliestPoint(
  camera: Camera,
  u: number,
  v: number,
  known: AlongAndHeight,
): readonly [x: number, y: number, z: number] {
  const [rx, ry, rz] = ray(camera, u, v);
  const [dx, dy] = known.direction;
  const alongPerUnit = rx * dx + ry * dy;
  const alongWeight = alongPerUnit / known.alongSd ** 2;
  const heightWeight = rz / known.heightSd ** 2;
  const distance =
    (alongWeight * (known.along - camera.x * dx - camera.y * dy) + heightWeight * (known.height - camera.z)) /
    (alongWeight * alongPerUnit + heightWeight * rz);
  return [camera.x + distance * rx, camera.y + distance * ry, camera.z + distance * rz];
}
