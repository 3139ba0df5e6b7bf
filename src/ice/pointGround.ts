import type { Matrix } from "ml-matrix";
import { derive, fromParts, linearised, type Sources, type Uncertain } from "../uncertainty/uncertain.ts";
import { type Camera, nudged } from "./camera.ts";
import { type CameraFit, type PlaneFit, slopes } from "./fitPlane.ts";
import type { Ground, UncertainMark, UncertainPlace } from "./ground.ts";
import { iceToPicture, invert } from "./homography.ts";
import { inFront, type PointFit, straightener } from "./pointFit.ts";

/** Ice points as the core measures with them. `widen` multiplies the fit's own uncertainty. */
export function pointGround(
  fit: PointFit,
  camera: Camera | null,
  widen: number,
  hull: Ground["hull"],
  sources: Sources,
): Ground {
  const { plane } = fit;
  const first = sources.reserve(plane.gain.columns);
  const shared = Array.from({ length: plane.gain.columns }, (_, k) => first + k);
  const uncertain = (value: number, gain: Matrix, row: number) =>
    fromParts(
      value,
      shared,
      gain.getRow(row).map((part) => part * widen),
    );
  const elements = plane.elements.map((value, row) => uncertain(value, plane.gain, row));
  const straighten = straightener(fit);
  const inverse = invert(plane.homography);
  const seen = camera && {
    camera,
    deviations: deviationsOf(fit.camera!, uncertain),
    at: ([zoom, t0, t1, t2, m0, m1, m2]: readonly number[]) => ({
      camera: nudged(camera, zoom!, [t0!, t1!, t2!], [m0!, m1!, m2!]),
      straighten,
    }),
  };
  return {
    place: (mark: UncertainMark) => {
      const [u, v] = fit.lens
        ? (derive((a, b) => straighten(a!, b!), [mark.u, mark.v]) as [Uncertain, Uncertain])
        : [mark.u, mark.v];
      const [x, y, w] = iceToPicture(inverse, u.value, v.value);
      return inFront(plane, x, y, w) ? placed(plane, elements, x, y, u, v) : null;
    },
    cameraIn: () => seen,
    unplacedWhy: () => null,
    noCamera:
      "The ice points do not show how high the camera is and how it looks, so points off the ice can't be placed. Mark six or more ice points, spread along the lane and across it, with the camera looking along the ice rather than down on it.",
    hull,
    acrossWhy: null,
    betweenFramesWhy: null,
    alongWhy: null,
    mostHeadingDeg: null,
  };
}

/**
 * Place (x, y) of a straightened mark (u, v) with its uncertainty. Where the plane's elements move the picture
 * of the place by δ, the mark belongs to the place that is δ back: one 2 x 2 inverse serves marks and elements.
 */
function placed(
  plane: PlaneFit,
  elements: readonly Uncertain[],
  x: number,
  y: number,
  u: Uncertain,
  v: Uncertain,
): UncertainPlace {
  const [ux, uy, vx, vy] = slopes(plane.homography, x, y);
  const det = ux * vy - uy * vx;
  const [xu, xv, yu, yv] = [vy / det, -uy / det, -vx / det, ux / det];
  // Normalised coordinates, in which the elements are.
  const nx = (x - plane.ice.x) * plane.ice.scale;
  const ny = (y - plane.ice.y) * plane.ice.scale;
  const w = plane.elements[6]! * nx + plane.elements[7]! * ny + 1;
  const nu = (u.value - plane.picture.x) * plane.picture.scale;
  const nv = (v.value - plane.picture.y) * plane.picture.scale;
  const px = 1 / (w * plane.picture.scale);
  const du = [nx * px, ny * px, px, 0, 0, 0, -nu * nx * px, -nu * ny * px];
  const dv = [0, 0, 0, nx * px, ny * px, px, -nv * nx * px, -nv * ny * px];
  const along = (byU: number, byV: number) =>
    elements.map((element, k) => [-(byU * du[k]! + byV * dv[k]!), element] as const);
  return {
    x: linearised(x, [[xu, u], [xv, v], ...along(xu, xv)]),
    y: linearised(y, [[yu, u], [yv, v], ...along(yu, yv)]),
  };
}

function deviationsOf(
  fit: CameraFit,
  uncertain: (value: number, gain: Matrix, row: number) => Uncertain,
): Uncertain[] {
  return [0, 1, 2, 3, 4, 5, 6].map((row) => uncertain(0, fit.gain, row));
}
