import type { IcePoint, Lens } from "../study/types.ts";
import { type Blamed, blame, fitOrNull, POOR, type Without } from "./badPoint.ts";
import { checkIcePoints } from "./checkIcePoints.ts";
import { chooseLens, freedomOf, type LensChoice } from "./chooseLens.ts";
import { iceToPicture, invert } from "./homography.ts";
import { distort, undistort } from "./lens.ts";
import { fitThroughLens, type PointFit } from "./pointFit.ts";
import type { IceResidual } from "./types.ts";

interface Picture {
  readonly width: number;
  readonly height: number;
}

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
  const plain = choice.fit.plane.lens.find > 0 ? fitThroughLens(points, picture, markSdPx, null) : choice.fit;
  const plainMisfit = misfitOf(plain);
  // Six points leave the rest two degrees of freedom.
  if (plainMisfit <= POOR || points.length < 6)
    return { ...choice, blamed: null, misfit: misfitOf(choice.fit) };
  const candidates = points.map((p) => leaveOut(points, p, picture, markSdPx, given));
  const blamed = blame(candidates);
  if (choice.fit === plain) return { ...choice, blamed, misfit: plainMisfit };
  if (!blamed) return { ...choice, blamed, misfit: misfitOf(choice.fit) };
  // A left-out point costs two observations, a coefficient one parameter.
  const least = Math.min(...candidates.map((c) => c?.restChiSquare ?? Number.POSITIVE_INFINITY));
  const price = Math.log(2 * points.length);
  const lensPays = choice.fit.plane.chiSquare + choice.fit.plane.lens.find * price < least + 2 * price;
  if (lensPays) return { ...choice, blamed: null, misfit: misfitOf(choice.fit) };
  const why =
    "One ice point disagrees with the others, so they can't tell the lens distortion; none is taken out.";
  const orLens =
    misfitOf(choice.fit) <= POOR
      ? ` A lens that bends lines (k1 = ${choice.fit.plane.lens.lens.k1.toFixed(2)}) would explain it as well; more ice points tell which.`
      : "";
  return {
    fit: plain,
    lens: { value: null, why },
    blamed: { ...blamed, text: blamed.text + orLens },
    misfit: plainMisfit,
  };
}

function misfitOf(fit: PointFit): number {
  const freedom = freedomOf(fit);
  return freedom > 0 ? Math.sqrt(fit.plane.chiSquare / freedom) : 0;
}

function leaveOut(
  points: readonly IcePoint[],
  point: IcePoint,
  picture: Picture,
  markSdPx: number,
  given: Lens | undefined,
): Without | null {
  const rest = points.filter((p) => p !== point);
  const fit = fitOrNull(() => {
    checkIcePoints(rest, picture, markSdPx);
    return fitThroughLens(rest, picture, markSdPx, given ?? null);
  });
  if (!fit) return null;
  const off = predicted(fit, point);
  return {
    name: point.label,
    offPx: Math.hypot(off[0] - point.xPx, off[1] - point.yPx),
    restPx: rmsPx(residualsOf(rest, fit)),
    restMisfit: misfitOf(fit),
    restChiSquare: fit.plane.chiSquare,
  };
}

/** Where the fit says a place on the ice is marked, px. */
export function predicted(
  fit: PointFit,
  p: { readonly x: number; readonly y: number },
): readonly [number, number] {
  const [u, v] = iceToPicture(fit.plane.homography, p.x, p.y);
  return distort(fit.plane.lens.lens, fit.plane.lens.frame, u, v);
}

export function residualsOf(points: readonly IcePoint[], fit: PointFit): IceResidual[] {
  const inverse = invert(fit.plane.homography);
  const bent = fit.plane.lens;
  return points.map((p) => {
    const [u, v] = predicted(fit, p);
    const [x, y] = iceToPicture(inverse, ...undistort(bent.lens, bent.frame, p.xPx, p.yPx));
    return { label: p.label, dxPx: p.xPx - u, dyPx: p.yPx - v, distance: Math.hypot(x - p.x, y - p.y) };
  });
}

export function rmsPx(residuals: readonly IceResidual[]): number {
  return Math.sqrt(residuals.reduce((sum, r) => sum + r.dxPx ** 2 + r.dyPx ** 2, 0) / residuals.length);
}
