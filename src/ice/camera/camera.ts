import { type Homography, iceToPicture } from "./homography.ts";
import { type Matrix3, rotated } from "./matrix3.ts";

/**
 * A camera without lens distortion, square pixels.
 * `rotation` (row by row) turns ice-frame directions into camera directions: x right, y down, z forward.
 */
export interface Camera {
  readonly focalPx: number;
  /** Principal point, px. */
  readonly cx: number;
  readonly cy: number;
  readonly rotation: Matrix3;
  /** Place in the ice frame, metres; z is the height above the ice. */
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/** Where a point of the ice frame is seen, and its depth along the optical axis (metres, negative behind). */
export function project(
  camera: Camera,
  x: number,
  y: number,
  z: number,
): readonly [u: number, v: number, depth: number] {
  const r = camera.rotation;
  const dx = x - camera.x;
  const dy = y - camera.y;
  const dz = z - camera.z;
  const depth = r[6]! * dx + r[7]! * dy + r[8]! * dz;
  return [
    camera.cx + (camera.focalPx * (r[0]! * dx + r[1]! * dy + r[2]! * dz)) / depth,
    camera.cy + (camera.focalPx * (r[3]! * dx + r[4]! * dy + r[5]! * dz)) / depth,
    depth,
  ];
}

/** Direction, in the ice frame, of everything seen at a picture point; one unit along the optical axis. */
export function ray(camera: Camera, u: number, v: number): readonly [x: number, y: number, z: number] {
  const a = (u - camera.cx) / camera.focalPx;
  const b = (v - camera.cy) / camera.focalPx;
  const r = camera.rotation;
  return [r[0]! * a + r[3]! * b + r[6]!, r[1]! * a + r[4]! * b + r[7]!, r[2]! * a + r[5]! * b + r[8]!];
}

/**
 * Focal length (px) from a homography of the ice, two ways: the ice axes are perpendicular, and they are
 * equally long. Null where that formula has no answer (the camera looks square along an axis; is level …).
 *
 * @see Zhang (2000), IEEE PAMI 22, 1330-1334
 */
export function focalLengths(
  h: Homography,
  cx: number,
  cy: number,
): { readonly perpendicular: number | null; readonly equalUnits: number | null } {
  const [h11, h12, h21, h22, h31, h32] = aboutCentre(h, cx, cy);
  return {
    perpendicular: rootOf(-(h11 * h12 + h21 * h22), h31 * h32),
    equalUnits: rootOf(h12 ** 2 + h22 ** 2 - h11 ** 2 - h21 ** 2, h31 ** 2 - h32 ** 2),
  };
}

function rootOf(numerator: number, denominator: number): number | null {
  const square = numerator / denominator;
  return square > 0 && Number.isFinite(square) ? Math.sqrt(square) : null;
}

function aboutCentre(
  h: Homography,
  cx: number,
  cy: number,
): [number, number, number, number, number, number] {
  return [h[0]! - cx * h[6]!, h[1]! - cx * h[7]!, h[3]! - cy * h[6]!, h[4]! - cy * h[7]!, h[6]!, h[7]!];
}

/**
 * The camera that has this homography of the ice, for a given focal length (px).
 * `seen` is any point of the ice that the camera sees: it decides which side is the front.
 */
export function cameraFromHomography(
  h: Homography,
  focalPx: number,
  { cx, cy }: Pick<Camera, "cx" | "cy">,
  seen: Pick<Camera, "x" | "y">,
): Camera {
  const sign = iceToPicture(h, seen.x, seen.y)[2] < 0 ? -1 : 1;
  const column = (k: number): Vector => [
    (sign * (h[k]! - cx * h[6 + k]!)) / focalPx,
    (sign * (h[3 + k]! - cy * h[6 + k]!)) / focalPx,
    sign * h[6 + k]!,
  ];
  const [a, b, t] = [column(0), column(1), column(2)];
  const scale = 2 / (Math.hypot(...a) + Math.hypot(...b));
  const [r1, r2, r3] = nearestAxes(a, b);
  const centre = (k: 0 | 1 | 2) => -scale * (r1[k] * t[0] + r2[k] * t[1] + r3[k] * t[2]);
  return {
    focalPx,
    cx,
    cy,
    rotation: [r1, r2, r3].flat(),
    x: centre(0),
    y: centre(1),
    z: centre(2),
  };
}

type Vector = [number, number, number];

/**
 * The rotation, row by row, whose first two columns are nearest to `a` and `b` up to their common length: those times
 * the inverse square root of their 2 x 2 Gram matrix G, which by Cayley-Hamilton is (tr G + 2√det G)^½ (G + √det G)⁻¹.
 */
function nearestAxes(a: Vector, b: Vector): [Vector, Vector, Vector] {
  const dot = (p: Vector, q: Vector) => p[0] * q[0] + p[1] * q[1] + p[2] * q[2];
  const [aa, ab, bb] = [dot(a, a), dot(a, b), dot(b, b)];
  const root = Math.sqrt(aa * bb - ab * ab);
  const size = root * Math.sqrt(aa + bb + 2 * root);
  const x = a.map((_, k) => (a[k]! * (bb + root) - b[k]! * ab) / size) as Vector;
  const y = a.map((_, k) => (b[k]! * (aa + root) - a[k]! * ab) / size) as Vector;
  const z = [x[1] * y[2] - x[2] * y[1], x[2] * y[0] - x[0] * y[2], x[0] * y[1] - x[1] * y[0]];
  return [0, 1, 2].map((k) => [x[k]!, y[k]!, z[k]!]) as [Vector, Vector, Vector];
}

/**
 * The camera turned by a small rotation vector (radians, camera axes), moved, zoomed by e^`logZoom`, and its principal
 * point shifted (px). Field by field: drawing errors does this a million times, and copying an object with `...` costs
 * ten times as much.
 */
export function nudged(
  camera: Camera,
  logZoom: number,
  turn: readonly [number, number, number],
  move: readonly [number, number, number],
  shift: readonly [number, number] = NO_SHIFT,
): Camera {
  return {
    focalPx: camera.focalPx * Math.exp(logZoom),
    cx: camera.cx + shift[0],
    cy: camera.cy + shift[1],
    rotation: turn[0] || turn[1] || turn[2] ? rotated(turn, camera.rotation) : camera.rotation,
    x: camera.x + move[0],
    y: camera.y + move[1],
    z: camera.z + move[2],
  };
}

const NO_SHIFT = [0, 0] as const;
