import type { Camera } from "./camera.ts";
import { PLACE_AT } from "./fitCamera.ts";
import { byDeviation, type RaySlopes } from "./raySlopes.ts";

/** `AlongAndHeight` with the travel as it is known: from one place to another, along counted from the first. Metres. */
export interface Beliefs {
  readonly from: readonly [x: number, y: number];
  readonly to: readonly [x: number, y: number];
  readonly along: number;
  readonly alongSd: number;
  readonly height: number;
  readonly heightSd: number;
}

/** The most likely point and what moves it. */
export interface LikeliestSlopes {
  readonly x: number;
  readonly y: number;
  readonly z: number;
  /** Change of x, and of y: by the mark's u, v (px), along, height, from x, y, to x, y (m), the camera's deviations. */
  readonly byX: readonly number[];
  readonly byY: readonly number[];
}

/**
 * `likeliestPoint` with its derivatives in closed form. The point is C + d r, on the ray r from the camera C, with
 * d = (α A/s² + ζ H/q²) / (α²/s² + ζ²/q²): α and ζ are how fast the ray goes along the travel and up, A and H how far
 * it has to go by either belief, s and q their SDs.
 */
export function likeliestSlopes(
  camera: Camera,
  sight: RaySlopes,
  known: Beliefs,
  deviations: number,
): LikeliestSlopes {
  const { from, to } = known;
  const length = Math.sqrt((to[0] - from[0]) ** 2 + (to[1] - from[1]) ** 2);
  const tx = (to[0] - from[0]) / length;
  const ty = (to[1] - from[1]) / length;
  const [rx, ry, rz] = sight.ray;
  const perAlong = 1 / known.alongSd ** 2;
  const perHeight = 1 / known.heightSd ** 2;
  const alpha = rx * tx + ry * ty;
  const [fx, fy] = [from[0] - camera.x, from[1] - camera.y];
  const ahead = known.along + fx * tx + fy * ty;
  const above = known.height - camera.z;
  const weight = perAlong * alpha * alpha + perHeight * rz * rz;
  const d = (perAlong * alpha * ahead + perHeight * rz * above) / weight;
  // How d follows α, A, ζ and H.
  const byAlpha = (perAlong * (ahead - 2 * d * alpha)) / weight;
  const byAhead = (perAlong * alpha) / weight;
  const byZeta = (perHeight * (above - 2 * d * rz)) / weight;
  const byAbove = (perHeight * rz) / weight;
  const byX: number[] = [];
  const byY: number[] = [];
  const put = (far: number, x: number, y: number) => {
    byX.push(far * rx + x);
    byY.push(far * ry + y);
  };
  const turned = (by: readonly [number, number, number]) =>
    put(byAlpha * (by[0] * tx + by[1] * ty) + byZeta * by[2], d * by[0], d * by[1]);
  turned(sight.byU);
  turned(sight.byV);
  put(byAhead, 0, 0);
  put(byAbove, 0, 0);
  // An end of the line that moves to the left turns the travel, and the first one also shifts what is counted from it.
  const turn = (byAlpha * (ry * tx - rx * ty) + byAhead * (fy * tx - fx * ty)) / length;
  put(byAhead * tx + turn * ty, 0, 0);
  put(byAhead * ty - turn * tx, 0, 0);
  put(-turn * ty, 0, 0);
  put(turn * tx, 0, 0);
  byDeviation(sight, deviations).forEach((by, k) => {
    if (by) turned(by);
    else if (k === PLACE_AT) put(-byAhead * tx, 1, 0);
    else if (k === PLACE_AT + 1) put(-byAhead * ty, 0, 1);
    else put(-byAbove, 0, 0);
  });
  return { x: camera.x + d * rx, y: camera.y + d * ry, z: camera.z + d * rz, byX, byY };
}
