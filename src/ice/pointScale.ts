import type { Matrix } from "ml-matrix";
import { MeasureError } from "../errors.ts";
import type { IcePoint, Lens } from "../study/types.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import { type Camera, project } from "./camera.ts";
import { checkIcePoints } from "./checkIcePoints.ts";
import type { CameraFit } from "./fitPlane.ts";
import type { FittedScale } from "./ground.ts";
import { iceToPicture, invert } from "./homography.ts";
import { convexHull } from "./hull.ts";
import { distort } from "./lens.ts";
import { fitThroughLens, frontSign, inFront, type PointFit, straightener } from "./pointFit.ts";
import { pointGround } from "./pointGround.ts";
import { fewPoints, focalDisagreement, poorFit, pxOff } from "./pointWarnings.ts";
import type { IceResidual, PicturePoint } from "./types.ts";

/** Scale from four or more ice points; see `fitScale`. */
export function pointScale(
  points: readonly IcePoint[],
  picture: { readonly width: number; readonly height: number },
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
    ground: (sources) => pointGround(fit, camera, widen, convexHull(points), sources),
  };
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

function rowNorm(gain: Matrix, row: number): number {
  return Math.hypot(...gain.getRow(row));
}
