import { MeasureError } from "../../errors.ts";
import type { IcePoint, IceReference, Lens, Picture } from "../../study/types.ts";
import { K95 } from "../../uncertainty/uncertain.ts";
import { project } from "../camera/camera.ts";
import { cameraMisfit, NO_CAMERA_FITS } from "../camera/cameraMisfit.ts";
import { freedomOf } from "../camera/chooseLens.ts";
import { type CameraFit, centreOf, fitCamera, ORDINARY_LENS, PLACE_AT } from "../camera/fitCamera.ts";
import type { PlaneFit } from "../camera/fitPlane.ts";
import type { FittedScale } from "../camera/ground.ts";
import { iceToPicture, invert } from "../camera/homography.ts";
import { distort, isWithinReach, undistort } from "../camera/lens.ts";
import { meetIce } from "../camera/placeOnIce.ts";
import type { IceResidual, PicturePoint } from "../types.ts";
import { movedCamera } from "./cameraMoved.ts";
import { checkIcePoints } from "./checkIcePoints.ts";
import { exchangedPoints } from "./exchangedPoints.ts";
import { convexHull } from "./hull.ts";
import { onIce as distanceOnIce, judgePoints, residualsOf, rms, rmsPx } from "./judgePoints.ts";
import { frontSign, inFront, type PointFit } from "./pointFit.ts";
import { pointGround } from "./pointGround.ts";
import { fewPoints, outsidePicture, poorFit, pxOff } from "./pointWarnings.ts";
import { poorMisfit, refusedMisfit } from "./poorFit.ts";
import { seenAgain } from "./seenAgain.ts";
import { withUnseenBlunders } from "./unseenBlunders.ts";

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
  const worst = worstOf(residualsOf(points, fit.plane));
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
  const misfitOfCamera = cameraMisfit(fit);
  const doubtful = withUnseenBlunders(
    "from" in lens ? aligned(fit, fit.camera) : allowingForLens(fit, picture),
  );
  const { camera } = doubtful;
  const seen = misfitOfCamera ? null : knownTo(camera, widen, FOR_WIDTHS);
  const usable = knownTo(camera, widen, FOR_HEIGHTS);
  const offIceWhy = misfitOfCamera && NO_CAMERA_FITS;
  const moved = movedCamera(
    rechecks,
    labels,
    { again: (k) => seenAgain(fit, k), sdPx: (k) => fit.pairs[k]!.markSdPx },
    markSdPx,
    widen,
  );
  const warnings = [
    ...fewPoints(points.length),
    ...outsidePicture(points, picture),
    ...(isPoor ? [poorFit(misfit, worst, blamed?.text)] : []),
    ...(misfitOfCamera ? [misfitOfCamera] : []),
    ...moved.warnings,
  ];
  const toIce = seen ? iceThrough(seen) : iceOnPlane(fit.plane);
  const onIce = (x: number, y: number) => (seen ? through(seen, x, y, 0) : onPlane(fit.plane, x, y));
  const residuals = residualsBy(points, toIce, onIce);
  return {
    summary: {
      kind: "ice-points",
      points: points.length,
      rmsPx: rmsPx(residuals),
      rms: rms(residuals.map((r) => r.distance)),
      rmsAcross: rms(residuals.map((r) => r.across)),
      camera: usable && {
        x: usable.camera.x,
        y: usable.camera.y,
        height: usable.camera.z,
        u95Place: [0, 1, 2].map((k) => K95 * rowNorm(usable, PLACE_AT + k) * widen) as Place3,
        focalPx: usable.camera.focalPx,
        u95FocalPx: K95 * usable.camera.focalPx * rowNorm(usable, 0) * widen,
      },
      ...(moved.still && { still: moved.still }),
      lens,
      warnings,
    },
    residuals,
    hull: convexHull(points),
    toIce: (p) => toIce(p.xPx, p.yPx),
    toPicture: (x, y, z = 0) => (z === 0 ? onIce(x, y) : usable && through(usable, x, y, z)),
    ground: (sources) =>
      pointGround(doubtful.plane, { seen, usable }, widen, { hull: convexHull(points), offIceWhy }, sources),
  };
}

/** The same with a camera whose lens the points can't tell: what an ordinary one may do is left open. */
function allowingForLens(fit: PointFit, picture: Picture): PointFit {
  const known = { lensSd: ORDINARY_LENS, near: fit.camera };
  return aligned(fit, fitCamera(fit.pairs, fit.plane, centreOf(picture), known) ?? fit.camera);
}

/** What is known of principal point and lens beforehand does not move a plane: its gain counts the camera's causes. */
function aligned({ plane, pairs }: PointFit, camera: CameraFit | null): PointFit {
  const more = new Array<number>(camera ? camera.gain[0]!.length - plane.gain[0]!.length : 0).fill(0);
  return { plane: { ...plane, gain: plane.gain.map((row) => [...row, ...more]) }, camera, pairs };
}

function worstOf(residuals: readonly IceResidual[]): IceResidual {
  return residuals.reduce((a, b) => (Math.hypot(b.dxPx, b.dyPx) > Math.hypot(a.dxPx, a.dyPx) ? b : a));
}

/** A camera whose focal length is not known to a third says nothing about heights. */
const FOR_HEIGHTS = 0.33;
/** Of places on the ice it still says more than the plane alone, as long as what it leaves open is about linear. [judgement] */
const FOR_WIDTHS = 1;

function knownTo(fit: CameraFit | null, widen: number, share: number): CameraFit | null {
  return fit !== null && fit.camera.z > 0 && rowNorm(fit, 0) * widen < share ? fit : null;
}

type ToIce = (xPx: number, yPx: number) => { readonly x: number; readonly y: number } | null;

function iceThrough({ camera, lens }: CameraFit): ToIce {
  return (xPx, yPx) => {
    const place = meetIce(camera, lens, xPx, yPx);
    return place && { x: place[0], y: place[1] };
  };
}

function iceOnPlane(plane: PlaneFit): ToIce {
  const { lens, frame } = plane.lens;
  const inverse = invert(plane.homography);
  return (xPx, yPx) => {
    if (!isWithinReach(lens, frame, xPx, yPx)) return null;
    const [x, y, w] = iceToPicture(inverse, ...undistort(lens, frame, xPx, yPx));
    return inFront(plane, x, y, w) ? { x, y } : null;
  };
}

/** How the points disagree with the scale as it measures. */
function residualsBy(
  points: readonly IcePoint[],
  toIce: ToIce,
  toPicture: (x: number, y: number) => PicturePoint | null,
): IceResidual[] {
  return points.map((p) => {
    const at = toIce(p.xPx, p.yPx) ?? { x: Number.POSITIVE_INFINITY, y: Number.POSITIVE_INFINITY };
    const seen = toPicture(p.x, p.y) ?? { xPx: Number.POSITIVE_INFINITY, yPx: Number.POSITIVE_INFINITY };
    const offPx = { dxPx: p.xPx - seen.xPx, dyPx: p.yPx - seen.yPx };
    return { label: p.label, ...offPx, ...distanceOnIce(at.x - p.x, at.y - p.y) };
  });
}

function onPlane(plane: PlaneFit, x: number, y: number): PicturePoint | null {
  const [u, v, w] = iceToPicture(plane.homography, x, y);
  if (w * frontSign(plane) <= 0) return null;
  const [xPx, yPx] = distort(plane.lens.lens, plane.lens.frame, u, v);
  return { xPx, yPx };
}

function through({ camera, lens }: CameraFit, x: number, y: number, z: number): PicturePoint | null {
  const [u, v, depth] = project(camera, x, y, z);
  if (depth <= 0) return null;
  const [xPx, yPx] = distort(lens, camera, u, v);
  return { xPx, yPx };
}

function rowNorm({ gain }: CameraFit, row: number): number {
  return Math.hypot(...gain[row]!);
}
