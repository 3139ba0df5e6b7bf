import { MeasureError } from "../../errors.ts";
import type { IceReference, Lens } from "../../study/types.ts";
import { K95 } from "../../uncertainty/uncertain.ts";
import { type Camera, project } from "../camera/camera.ts";
import { cameraMisfit, NO_CAMERA_FITS } from "../camera/cameraMisfit.ts";
import { freedomOf } from "../camera/chooseLens.ts";
import type { CameraFit } from "../camera/fitCamera.ts";
import type { FittedScale } from "../camera/ground.ts";
import { iceToPicture, invert } from "../camera/homography.ts";
import { distort, undistort } from "../camera/lens.ts";
import type { PicturePoint } from "../types.ts";
import { movedCamera } from "./cameraMoved.ts";
import { checkIcePoints } from "./checkIcePoints.ts";
import { exchangedPoints } from "./exchangedPoints.ts";
import { convexHull } from "./hull.ts";
import { judgePoints, residualsOf, rms, rmsPx } from "./judgePoints.ts";
import { frontSign, inFront, type PointFit } from "./pointFit.ts";
import { pointGround } from "./pointGround.ts";
import { fewPoints, focalDisagreement, outsidePicture, poorFit, pxOff } from "./pointWarnings.ts";
import { poorMisfit, refusedMisfit } from "./poorFit.ts";
import { withUnseenBlunders } from "./unseenBlunders.ts";

interface Picture {
  readonly width: number;
  readonly height: number;
}

type Place3 = [number, number, number];
type PointReference = Extract<IceReference, { kind: "ice-points" }>;

/** Scale from four or more ice points; see `fitScale`. */
export function pointScale(
  reference: PointReference,
  picture: Picture,
  markSdPx: number,
  given: Lens | undefined,
): FittedScale {
  const { points, rechecks = [] } = reference;
  checkIcePoints(points, picture, markSdPx);
  const { fit, lens, misfit, ...judged } = judgePoints(points, picture, markSdPx, given);
  const freedom = freedomOf(fit.plane, points.length);
  const isPoor = misfit > poorMisfit(freedom);
  const labels = points.map((p) => p.label);
  // Nothing else makes all points agree by chance, so an exchange goes before a single bad point.
  const lensOfAll = { ...fit.plane.lens, lens: given ?? { k1: 0 } };
  const exchanged = isPoor ? exchangedPoints(fit.pairs, labels, lensOfAll) : null;
  const blamed = exchanged ?? judged.blamed;
  const residuals = residualsOf(points, fit.plane);
  const worst = residuals.reduce((a, b) => (Math.hypot(b.dxPx, b.dyPx) > Math.hypot(a.dxPx, a.dyPx) ? b : a));
  if (misfit > refusedMisfit(freedom)) {
    const which = blamed ? blamed.text : `${worst.label} is the worst (${pxOff(worst)}).`;
    throw new MeasureError(
      "ice-points-disagree",
      `fitScale requires ice points that agree within 3 marking SD; rms is ${misfit.toFixed(1)} SD, worst ${worst.label}`,
      `The ice points disagree with each other by ${misfit.toFixed(1)} times what marking alone explains. ${which}${exchanged ? "" : " Check its place on the ice and its mark."}`,
      { misfit, worst: blamed?.names[0] ?? worst.label },
    );
  }
  // Worse than expected: the errors are evidently larger than stated, so the scale's uncertainty grows with them.
  const widen = isPoor ? misfit : 1;
  const doubtful = withUnseenBlunders(fit);
  const camera = usableCamera(doubtful.camera, widen);
  const misfitOfCamera = cameraMisfit(fit, picture);
  const offIceWhy = misfitOfCamera && NO_CAMERA_FITS;
  const moved = movedCamera(rechecks, labels, fit, markSdPx, widen);
  const warnings = [
    ...fewPoints(points.length),
    ...outsidePicture(points, picture),
    ...(isPoor ? [poorFit(misfit, worst, blamed?.text)] : []),
    ...(misfitOfCamera ? [misfitOfCamera] : focalDisagreement(fit, widen)),
    ...moved.warnings,
  ];
  const inverse = invert(fit.plane.homography);
  return {
    summary: {
      kind: "ice-points",
      points: points.length,
      rmsPx: rmsPx(residuals),
      rms: rms(residuals.map((r) => r.distance)),
      rmsAcross: rms(residuals.map((r) => r.across)),
      camera: camera && {
        x: camera.x,
        y: camera.y,
        height: camera.z,
        // Rows of the gain: log focal length, three turns, then the place.
        u95Place: [4, 5, 6].map((row) => K95 * rowNorm(doubtful.camera!.gain, row) * widen) as Place3,
        focalPx: camera.focalPx,
        u95FocalPx: K95 * camera.focalPx * rowNorm(doubtful.camera!.gain, 0) * widen,
      },
      ...(moved.still && { still: moved.still }),
      lens,
      warnings,
    },
    residuals,
    hull: convexHull(points),
    toIce: (p) => {
      const bent = fit.plane.lens;
      const [u, v] = undistort(bent.lens, bent.frame, p.xPx, p.yPx);
      const [x, y, w] = iceToPicture(inverse, u, v);
      return inFront(fit.plane, x, y, w) ? { x, y } : null;
    },
    toPicture: (x, y, z = 0) => toPicture(fit, camera, x, y, z),
    ground: (sources) =>
      pointGround(doubtful, camera, widen, { hull: convexHull(points), offIceWhy }, sources),
  };
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
  const [xPx, yPx] =
    z === 0
      ? distort(fit.plane.lens.lens, fit.plane.lens.frame, seen[0], seen[1])
      : distort(fit.camera!.lens, camera!, seen[0], seen[1]);
  return { xPx, yPx };
}

function rowNorm(gain: CameraFit["gain"], row: number): number {
  return Math.hypot(...gain[row]!);
}
