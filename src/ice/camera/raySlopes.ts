import type { Lens } from "../../study/types.ts";
import type { Camera } from "./camera.ts";
import { straightened } from "./lensSlopes.ts";

export type Vector = readonly [x: number, y: number, z: number];

/** The ray of a picture point, one unit along the optical axis, and what turns it. Ice frame. */
export interface RaySlopes {
  readonly ray: Vector;
  /** Change of the ray for a change of the mark by a pixel. */
  readonly byU: Vector;
  readonly byV: Vector;
  /** For a change of the log focal length, of the three turns (rad, camera axes), of the principal point (px), and of k1, k2. The camera's place turns no ray. */
  readonly byZoom: Vector;
  readonly byTurn: readonly [Vector, Vector, Vector];
  readonly byCentre: readonly [Vector, Vector];
  readonly byLens: readonly [Vector, Vector];
}

/** The ray through a mark as it is seen, lens distortion and all, with its derivatives in closed form. */
export function raySlopes(camera: Camera, lens: Lens, u: number, v: number): RaySlopes {
  const s = straightened(lens, camera, u, v);
  const r = camera.rotation;
  const back = (a: number, b: number, d: number): Vector => [
    r[0]! * a + r[3]! * b + r[6]! * d,
    r[1]! * a + r[4]! * b + r[7]! * d,
    r[2]! * a + r[5]! * b + r[8]! * d,
  ];
  const f = camera.focalPx;
  const [seenX, seenY] = [(u - camera.cx) / f, (v - camera.cy) / f];
  return {
    ray: back(s.x, s.y, 1),
    byU: back(s.xx / f, s.xy / f, 0),
    byV: back(s.xy / f, s.yy / f, 0),
    byZoom: back(-(s.xx * seenX + s.xy * seenY), -(s.xy * seenX + s.yy * seenY), 0),
    // Turning the camera by e turns the ray by -e × ray.
    byTurn: [back(0, 1, -s.y), back(-1, 0, s.x), back(s.y, -s.x, 0)],
    byCentre: [back(-s.xx / f, -s.xy / f, 0), back(-s.xy / f, -s.yy / f, 0)],
    byLens: [back(...s.byK1, 0), back(...s.byK2, 0)],
  };
}

/** Those of the deviations of an `UncertainCamera` in their order; null for its place. */
export function byDeviation(slopes: RaySlopes, count: number): readonly (Vector | null)[] {
  const { byZoom, byTurn, byCentre, byLens } = slopes;
  return [byZoom, ...byTurn, null, null, null, ...byCentre, ...byLens].slice(0, count);
}
