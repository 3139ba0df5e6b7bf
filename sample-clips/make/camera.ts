/** A pinhole camera with square pixels, no roll, its principal point at the picture's centre. */
import { cross, dot, sub, unit, type V } from "./vec.ts";

export interface Camera {
  readonly place: V;
  readonly aim: V;
  readonly hfovDeg: number;
  readonly width: number;
  readonly height: number;
}

export const focalPx = (c: Camera): number => c.width / 2 / Math.tan((c.hfovDeg * Math.PI) / 360);

/** Rows: the picture's right, the picture's down, the viewing direction, as unit vectors of the lane frame. */
export function rotation(c: Camera): readonly [V, V, V] {
  const forward = unit(sub(c.aim, c.place));
  const right = unit(cross(forward, [0, 0, 1]));
  return [right, cross(forward, right), forward];
}

export interface Px {
  readonly x: number;
  readonly y: number;
}

/** Where a point is seen, px: the centre of the top-left pixel is (0, 0). */
export function project(c: Camera, p: V): Px {
  const [right, down, forward] = rotation(c);
  const ray = sub(p, c.place);
  const k = focalPx(c) / dot(ray, forward);
  return { x: (c.width - 1) / 2 + k * dot(ray, right), y: (c.height - 1) / 2 + k * dot(ray, down) };
}
