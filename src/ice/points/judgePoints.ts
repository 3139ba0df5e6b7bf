import type { IcePoint, Lens, Picture } from "../../study/types.ts";
import { chooseLens, freedomOf, type LensChoice } from "../camera/chooseLens.ts";
import { fitPlane, type PlaneFit } from "../camera/fitPlane.ts";
import { iceToPicture, invert } from "../camera/homography.ts";
import { distort, undistort } from "../camera/lens.ts";
import type { IceResidual } from "../types.ts";
import { type Blamed, blame, fitOrNull, type Without } from "./badPoint.ts";
import { checkIcePoints } from "./checkIcePoints.ts";
import { fitThroughLens, type PointFit } from "./pointFit.ts";
import { poorMisfit } from "./poorFit.ts";
import { isSeenFromAbove } from "./seenFromAbove.ts";

export interface Judged extends LensChoice {
  readonly blamed: Blamed | null;
  /** In marking SD; 0 where four points fit exactly whatever they are. */
  readonly misfit: number;
}

/**
 * The fit, and which point is to blame where it is poor. A lens that explains the misfit no better than one bad
 * point does is not believed.
 */
export function judgePoints(
  points: readonly IcePoint[],
  picture: Picture,
  markSdPx: number,
  given: Lens | undefined,
): Judged {
  const choice = chooseLens(points, picture, markSdPx, given);
  const plain = choice.fit.plane.lens.find > 0 ? fitThroughLens(points, picture, markSdPx) : choice.fit;
  const plainMisfit = misfitOf(plain.plane, points.length);
  // Six points leave the rest two degrees of freedom.
  if (plainMisfit <= poorMisfit(freedomOf(plain.plane, points.length)) || points.length < 6)
    return { ...choice, blamed: null, misfit: misfitOf(choice.fit.plane, points.length) };
  const candidates = points.map((p) => leaveOut(points, p, picture, markSdPx, plain));
  const blamed = blame(candidates);
  if (choice.fit === plain) return { ...choice, blamed, misfit: plainMisfit };
  if (!blamed) return { ...choice, blamed, misfit: misfitOf(choice.fit.plane, points.length) };
  // A left-out point costs two observations, a coefficient one parameter.
  const least = Math.min(...candidates.map((c) => c?.restChiSquare ?? Number.POSITIVE_INFINITY));
  const price = Math.log(2 * points.length);
  const lensPays = choice.fit.plane.chiSquare + choice.fit.plane.lens.find * price < least + 2 * price;
  if (lensPays) return { ...choice, blamed: null, misfit: misfitOf(choice.fit.plane, points.length) };
  const why =
    "One ice point disagrees with the others, so they can't tell the lens distortion; every ± allows for that of an ordinary lens.";
  const orLens =
    misfitOf(choice.fit.plane, points.length) <= poorMisfit(freedomOf(choice.fit.plane, points.length))
      ? ` A lens that bends lines (k1 = ${choice.fit.plane.lens.lens.k1.toFixed(2)}) would explain it as well; more ice points tell which.`
      : "";
  return {
    fit: plain,
    lens: { value: null, why },
    blamed: { ...blamed, text: blamed.text + orLens },
    misfit: plainMisfit,
  };
}

function misfitOf(plane: PlaneFit, count: number): number {
  const freedom = freedomOf(plane, count);
  return freedom > 0 ? Math.sqrt(plane.chiSquare / freedom) : 0;
}

/** Plane only: who is to blame does not depend on what camera it is. */
function leaveOut(
  points: readonly IcePoint[],
  point: IcePoint,
  picture: Picture,
  markSdPx: number,
  all: PointFit,
): Without | null {
  const rest = points.filter((p) => p !== point);
  const plane = fitOrNull(() => {
    checkIcePoints(rest, picture, markSdPx);
    const pairs = all.pairs.filter((_, k) => points[k] !== point);
    return fitPlane(pairs, all.plane.lens);
  });
  if (!plane || !isSeenFromAbove(plane, rest)) return null;
  const off = predicted(plane, point);
  return {
    name: point.label,
    offPx: Math.hypot(off[0] - point.xPx, off[1] - point.yPx),
    restPx: rmsPx(residualsOf(rest, plane)),
    restChiSquare: plane.chiSquare,
    restFreedom: freedomOf(plane, rest.length),
  };
}

/** Where the fit says a place on the ice is marked, px. */
export function predicted(
  plane: PlaneFit,
  p: { readonly x: number; readonly y: number },
): readonly [number, number] {
  const [u, v] = iceToPicture(plane.homography, p.x, p.y);
  return distort(plane.lens.lens, plane.lens.frame, u, v);
}

export function residualsOf(points: readonly IcePoint[], plane: PlaneFit): IceResidual[] {
  const inverse = invert(plane.homography);
  const model = plane.lens;
  return points.map((p) => {
    const [u, v] = predicted(plane, p);
    const [x, y] = iceToPicture(inverse, ...undistort(model.lens, model.frame, p.xPx, p.yPx));
    return { label: p.label, dxPx: p.xPx - u, dyPx: p.yPx - v, ...onIce(x - p.x, y - p.y) };
  });
}

/** A disagreement on the ice: its size and its part across the lane. */
export function onIce(dx: number, dy: number): Pick<IceResidual, "distance" | "across"> {
  return { distance: Math.hypot(dx, dy), across: Math.abs(dy) };
}

/** Root mean square. */
export function rms(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);
}

export function rmsPx(residuals: readonly IceResidual[]): number {
  return rms(residuals.map((r) => Math.hypot(r.dxPx, r.dyPx)));
}
