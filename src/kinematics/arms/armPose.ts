import { type Camera, ray } from "../../ice/camera/camera.ts";

export type Vector = readonly [x: number, y: number, z: number];

export interface ShoulderBelief {
  /** Unit vector of the travel; across is to its left. */
  readonly direction: readonly [x: number, y: number];
  /** Most likely place of the shoulder before looking, ice frame, metres. */
  readonly at: Vector;
  readonly alongSd: number;
  readonly acrossSd: number;
  readonly heightSd: number;
}

/** Unit vector, in the ice frame, of everything seen at a picture point without lens distortion. */
export function sight(camera: Camera, [u, v]: readonly [u: number, v: number]): Vector {
  return unit(ray(camera, u, v));
}

/** Shoulder on its ray `r`, where it is most likely by three Gaussian beliefs (along, across, height). */
export function shoulderOnRay(camera: Camera, r: Vector, belief: ShoulderBelief): Vector {
  const [dx, dy] = belief.direction;
  const [x, y, z] = [belief.at[0] - camera.x, belief.at[1] - camera.y, belief.at[2] - camera.z];
  const [a, c, h] = pace(r, belief);
  const top =
    (a * (x * dx + y * dy)) / belief.alongSd +
    (c * (y * dx - x * dy)) / belief.acrossSd +
    (h * z) / belief.heightSd;
  return along(camera, r, top / (a * a + c * c + h * h));
}

/** SD of how far along its unit ray the shoulder is, metres. */
export function shoulderDepthSd(r: Vector, belief: ShoulderBelief): number {
  return 1 / size(pace(r, belief));
}

/** How fast a ray moves along, across and up, in the beliefs' own SDs. */
function pace(r: Vector, { direction: [dx, dy], alongSd, acrossSd, heightSd }: ShoulderBelief): Vector {
  return [(r[0] * dx + r[1] * dy) / alongSd, (r[1] * dx - r[0] * dy) / acrossSd, r[2] / heightSd];
}

/** A segment of known length that ends in a joint. */
interface Segment {
  /** The near joint. */
  readonly from: Vector;
  readonly length: number;
  /** Of the two answers the one nearer the camera. */
  readonly isToward: boolean;
  /** Metres added to how far the far joint lies before or behind the near one. */
  readonly deeper?: number;
}

/**
 * The far joint of a segment on its own unit ray: foreshortening in true perspective. A segment that looks longer than it
 * is lies in the picture plane.
 *
 * @see Taylor (2000), CVIU 80, 349-363: the same with parallel rays
 */
export function jointOnRay(
  camera: Camera,
  r: Vector,
  { from, length, isToward, deeper = 0 }: Segment,
): Vector {
  const { nearest, depth } = foreshortening(camera, r, from, length);
  return along(camera, r, nearest + (isToward ? -1 : 1) * (depth + deeper));
}

/**
 * Standard uncertainty of a joint's depth that no slope shows, metres: a segment that looks about as long as it is has
 * a depth near 0, where √(length² − aside²) bends sharply and is cut off, so that it comes out too deep or too shallow
 * as the noise has it. Mean of the root of the positive half of a normal distribution: 0.41 √SD.
 *
 * @param asideU, lengthU standard uncertainties of how long it looks and is, metres
 */
export function depthDoubt(aside: number, asideU: number, length: number, lengthU: number): number {
  const squareU = 2 * length * Math.hypot(asideU, lengthU);
  const away = (length ** 2 - aside ** 2) / squareU;
  return 0.41 * Math.sqrt(squareU) * Math.exp(-(away ** 2) / 8);
}

/**
 * SD of the angle, rad, between a segment and the view, of which it shows the share `seen` of its length: where it lies
 * across the view, a little more or less of it turns it far.
 */
export function tiltSd(seen: number, seenSd: number): number {
  const tilt = (share: number) => Math.asin(Math.max(-1, Math.min(1, share)));
  const at = tilt(seen);
  return Math.max(tilt(seen + seenSd) - at, at - tilt(seen - seenSd));
}

/** Distance from the camera to the unit ray's nearest point to the near joint, and how far the far joint lies before or behind it. */
export function foreshortening(camera: Camera, r: Vector, from: Vector, length: number) {
  const to: Vector = [from[0] - camera.x, from[1] - camera.y, from[2] - camera.z];
  // |to × r|: the difference of two large squares would lose the small distance between them.
  const aside = size([to[1] * r[2] - to[2] * r[1], to[2] * r[0] - to[0] * r[2], to[0] * r[1] - to[1] * r[0]]);
  return { nearest: dot(to, r), aside, depth: Math.sqrt(Math.max(0, length ** 2 - aside ** 2)) };
}

export function dot(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

export function minus(a: Vector, b: Vector): Vector {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

/** Math.hypot is many times slower, and nothing here is near overflow. */
export function size(a: Vector): number {
  return Math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2]);
}

function unit(a: Vector): Vector {
  const length = size(a);
  return [a[0] / length, a[1] / length, a[2] / length];
}

function along(camera: Camera, r: Vector, distance: number): Vector {
  return [camera.x + distance * r[0], camera.y + distance * r[1], camera.z + distance * r[2]];
}
