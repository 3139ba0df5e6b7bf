import type { Matrix } from "ml-matrix";
import { derive, fromParts, linearised, type Sources, type Uncertain } from "../uncertainty/uncertain.ts";
import { type Camera, nudged } from "./camera.ts";
import { type CameraFit, lensOf, type PlaneFit, slopes } from "./fitPlane.ts";
import type { Ground, UncertainMark, UncertainPlace } from "./ground.ts";
import { iceToPicture, invert } from "./homography.ts";
import { undistort } from "./lens.ts";
import { inFront, type PointFit } from "./pointFit.ts";

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
  const bent = plane.lens;
  const coefficients = [bent.lens.k1, bent.lens.k2 ?? 0]
    .slice(0, bent.find)
    .map((value, k) => uncertain(value, plane.gain, 8 + k));
  const inverse = invert(plane.homography);
  const seen = camera && {
    camera,
    deviations: deviationsOf(fit.camera!, uncertain),
    at: ([zoom, t0, t1, t2, m0, m1, m2, ...k]: readonly number[]) => {
      const moved = nudged(camera, zoom!, [t0!, t1!, t2!], [m0!, m1!, m2!]);
      const base = fit.camera!.lens;
      const lens = lensOf(bent, [base.k1 + (k[0] ?? 0), (base.k2 ?? 0) + (k[1] ?? 0)]);
      return { camera: moved, straighten: (u: number, v: number) => undistort(lens, moved, u, v) };
    },
  };
  return {
    place: (mark: UncertainMark) => {
      const [u, v] =
        bent.find > 0 || bent.lens.k1 !== 0 || bent.lens.k2
          ? (derive(
              (a, b, ...k) => undistort(lensOf(bent, k), bent.frame, a!, b!),
              [mark.u, mark.v, ...coefficients],
            ) as [Uncertain, Uncertain])
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
  return Array.from({ length: fit.gain.rows }, (_, row) => uncertain(0, fit.gain, row));
}
