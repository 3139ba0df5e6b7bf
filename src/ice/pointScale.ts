import type { Matrix } from "ml-matrix";
import { MeasureError } from "../errors.ts";
import type { Warning } from "../kinematics/types.ts";
import type { IcePoint, Lens } from "../study/types.ts";
import {
  derive,
  fromParts,
  K95,
  linearised,
  type Sources,
  type Uncertain,
} from "../uncertainty/uncertain.ts";
import { type Camera, focalLengths, project } from "./camera.ts";
import { checkIcePoints } from "./checkIcePoints.ts";
import { type CameraFit, fitCamera, fitPlane, type PlaneFit, slopes, type WeighedPair } from "./fitPlane.ts";
import type { FittedScale, Ground, UncertainMark, UncertainPlace } from "./ground.ts";
import { iceToPicture, invert } from "./homography.ts";
import { convexHull } from "./hull.ts";
import { distort, type LensFrame, undistort } from "./lens.ts";
import type { IceResidual, PicturePoint } from "./types.ts";

interface Picture {
  readonly width: number;
  readonly height: number;
}

interface PointFit {
  readonly plane: PlaneFit;
  readonly camera: CameraFit | null;
  readonly pairs: readonly WeighedPair[];
  readonly lens: Lens | null;
  readonly lensFrame: LensFrame;
}

/** Scale from four or more ice points; see `fitScale`. */
export function pointScale(
  points: readonly IcePoint[],
  picture: Picture,
  markSdPx: number,
  lens: Lens | undefined,
): FittedScale {
  checkIcePoints(points, picture, markSdPx);
  const fit = fitThroughLens(points, picture, markSdPx, lens ?? null);
  const residuals = residualsOf(points, fit);
  const freedom = 2 * points.length - 8;
  // Of the marking SD; four points fit exactly whatever they are.
  const misfit = freedom > 0 ? Math.sqrt(fit.plane.chiSquare / freedom) : 0;
  const worst = residuals.reduce((a, b) => (Math.hypot(b.dxPx, b.dyPx) > Math.hypot(a.dxPx, a.dyPx) ? b : a));
  if (misfit > 3) {
    throw new MeasureError(
      "ice-points-disagree",
      `fitScale requires ice points that agree within 3 marking SD; rms is ${misfit.toFixed(1)} SD, worst ${worst.label}`,
      `The ice points disagree with each other by ${misfit.toFixed(1)} times what marking alone explains; ${worst.label} is the worst (${pxOff(worst)}). Check its place on the ice and its mark.`,
      { misfit, worst: worst.label },
    );
  }
  // Worse than expected: the errors are evidently larger than stated, so the scale's uncertainty grows with them.
  const widen = misfit > 1.4 ? misfit : 1;
  const camera = usableCamera(fit.camera, widen);
  const warnings = [...fewPoints(points.length), ...poorFit(misfit, worst), ...focalDisagreement(fit, widen)];
  const rms = (pick: (r: IceResidual) => number) =>
    Math.sqrt(residuals.reduce((sum, r) => sum + pick(r) ** 2, 0) / residuals.length);
  const inverse = invert(fit.plane.homography);
  return {
    summary: {
      kind: "ice-points",
      points: points.length,
      rmsPx: rms((r) => Math.hypot(r.dxPx, r.dyPx)),
      rms: rms((r) => r.distance),
      camera: camera && {
        x: camera.x,
        y: camera.y,
        height: camera.z,
        focalPx: camera.focalPx,
        u95FocalPx: K95 * camera.focalPx * rowNorm(fit.camera!.gain, 0) * widen,
      },
      warnings,
    },
    residuals,
    hull: convexHull(points),
    toIce: (p) => {
      const [u, v] = straightener(fit)(p.xPx, p.yPx);
      const [x, y, w] = iceToPicture(inverse, u, v);
      return inFront(fit.plane, x, y, w) ? { x, y } : null;
    },
    toPicture: (x, y, z = 0) => toPicture(fit, camera, x, y, z),
    ground: (sources) => groundOf(fit, camera, widen, convexHull(points), sources),
  };
}

/** Without a lens one fit; with one, focal length and straightened marks are found in turn. */
function fitThroughLens(
  points: readonly IcePoint[],
  picture: Picture,
  markSdPx: number,
  lens: Lens | null,
): PointFit {
  const cx = (picture.width - 1) / 2;
  const cy = (picture.height - 1) / 2;
  let lensFrame: LensFrame = { cx, cy, focalPx: Math.max(picture.width, picture.height) };
  for (let round = 0; ; round++) {
    const pairs = points.map((p) => {
      const [uPx, vPx] = lens ? undistort(lens, lensFrame, p.xPx, p.yPx) : [p.xPx, p.yPx];
      return { x: p.x, y: p.y, uPx, vPx, markSdPx: p.uPx ?? markSdPx, placeSd: p.u ?? 0 };
    });
    const plane = fitPlane(pairs);
    if (!plane) {
      throw new MeasureError(
        "ice-points-degenerate",
        "fitScale requires ice points that determine a homography; the normal equations are singular",
        "These ice points can't give a scale: they hardly span the ice. Spread them out, along the lane and across it.",
      );
    }
    const [ux, uy, vx, vy] = slopes(plane.homography, plane.ice.x, plane.ice.y);
    if (ux * vy - uy * vx > 0) {
      throw new MeasureError(
        "ice-points-mirrored",
        "fitScale requires ice points seen from above the ice; these are mirrored",
        "The ice points are mirrored: with these places the camera would be under the ice. Check which points are left of the lane (y positive) and which right, and which way x runs.",
      );
    }
    const camera = fitCamera(pairs, plane, cx, cy);
    const focalPx = camera?.camera.focalPx ?? lensFrame.focalPx;
    const settled = Math.abs(focalPx - lensFrame.focalPx) < 1e-9 * focalPx;
    if (!lens || settled || round >= 50) return { plane, camera, pairs, lens, lensFrame };
    lensFrame = { cx, cy, focalPx };
  }
}

function straightener(fit: PointFit): (u: number, v: number) => readonly [number, number] {
  const { lens, lensFrame } = fit;
  return lens ? (u, v) => undistort(lens, lensFrame, u, v) : (u, v) => [u, v];
}

function residualsOf(points: readonly IcePoint[], fit: PointFit): IceResidual[] {
  const inverse = invert(fit.plane.homography);
  return points.map((p, k) => {
    const pair = fit.pairs[k]!;
    const [u, v] = iceToPicture(fit.plane.homography, p.x, p.y);
    const [x, y] = iceToPicture(inverse, pair.uPx, pair.vPx);
    return { label: p.label, dxPx: pair.uPx - u, dyPx: pair.vPx - v, distance: Math.hypot(x - p.x, y - p.y) };
  });
}

/** A camera whose focal length is not known to a third says nothing about heights. */
function usableCamera(fit: CameraFit | null, widen: number): Camera | null {
  if (!fit || fit.camera.z <= 0) return null;
  return rowNorm(fit.gain, 0) * widen < 0.33 ? fit.camera : null;
}

function toPicture(
  fit: PointFit,
  camera: Camera | null,
  x: number,
  y: number,
  z: number,
): PicturePoint | null {
  let seen: readonly [number, number, number];
  if (z === 0) {
    seen = iceToPicture(fit.plane.homography, x, y);
    if (seen[2] * frontSign(fit.plane) <= 0) return null;
  } else {
    if (!camera) return null;
    seen = project(camera, x, y, z);
    if (seen[2] <= 0) return null;
  }
  const [u, v] = fit.lens ? distort(fit.lens, fit.lensFrame, seen[0], seen[1]) : seen;
  return { xPx: u, yPx: v };
}

function frontSign(plane: PlaneFit): number {
  return iceToPicture(plane.homography, plane.ice.x, plane.ice.y)[2] < 0 ? -1 : 1;
}

function inFront(plane: PlaneFit, x: number, y: number, w: number): boolean {
  return w !== 0 && iceToPicture(plane.homography, x, y)[2] * frontSign(plane) > 0;
}

function groundOf(
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
  return {
    place: (mark: UncertainMark) => {
      const [u, v] = fit.lens
        ? (derive((a, b) => straighten(a!, b!), [mark.u, mark.v]) as [Uncertain, Uncertain])
        : [mark.u, mark.v];
      const [x, y, w] = iceToPicture(inverse, u.value, v.value);
      return inFront(plane, x, y, w) ? placed(plane, elements, x, y, u, v) : null;
    },
    camera: camera && {
      camera,
      deviations: deviationsOf(fit.camera!, uncertain),
      straighten,
    },
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

function rowNorm(gain: Matrix, row: number): number {
  return Math.hypot(...gain.getRow(row));
}

function pxOff(r: IceResidual): string {
  return `${Math.hypot(r.dxPx, r.dyPx).toFixed(1)} px`;
}

function fewPoints(count: number): Warning[] {
  if (count > 5) return [];
  return [
    {
      code: "few-ice-points",
      text: `${count === 4 ? "Four" : "Five"} ice points cannot show a bad one. Mark six or more.`,
    },
  ];
}

function poorFit(misfit: number, worst: IceResidual): Warning[] {
  if (misfit <= 1.4) return [];
  return [
    {
      code: "ice-points-fit-poorly",
      text: `The ice points disagree by ${misfit.toFixed(1)} times what marking alone explains; ${worst.label} is the worst (${pxOff(worst)}). Every ± is wider for it; check that point.`,
    },
  ];
}

/** The two closed formulas against each other, each with its own uncertainty from the fit. */
function focalDisagreement(fit: PointFit, widen: number): Warning[] {
  const { plane, lensFrame } = fit;
  const own = Array.from({ length: plane.gain.columns }, (_, k) => k);
  const elements = plane.elements.map((value, row) =>
    fromParts(
      value,
      own,
      plane.gain.getRow(row).map((part) => part * widen),
    ),
  );
  const { perpendicular, equalUnits } = focalLengths(plane.homography, lensFrame.cx, lensFrame.cy);
  if (perpendicular === null || equalUnits === null) return [];
  const toPx = plane.picture.scale;
  const both = (...h: number[]) => {
    // In normalised coordinates the picture is shifted and shrunk, and both ice axes alike: only the centre moves.
    const f = focalLengths(
      [...h, 1],
      (lensFrame.cx - plane.picture.x) * toPx,
      (lensFrame.cy - plane.picture.y) * toPx,
    );
    return [(f.perpendicular ?? 0) / toPx, (f.equalUnits ?? 0) / toPx];
  };
  const [a, b] = derive(both, elements) as [Uncertain, Uncertain];
  // A formula near its degenerate view (camera square to an ice axis) has no linear interval worth holding against the other.
  if (K95 * a.u > 0.2 * a.value || K95 * b.u > 0.2 * b.value) return [];
  const difference = derive((p, q) => [p! - q!], [a, b])[0]!;
  if (Math.abs(difference.value) <= 2.6 * difference.u || Math.abs(difference.value) <= 0.03 * a.value)
    return [];
  const show = (f: Uncertain) => `${f.value.toFixed(0)} ± ${(K95 * f.u).toFixed(0)} px`;
  return [
    {
      code: "focal-lengths-disagree",
      text: `The ice points give two different focal lengths: ${show(a)} from right angles, ${show(b)} from equal units. A point may be misplaced, or the lens bends lines; heights above the ice are doubtful.`,
    },
  ];
}
