import { MeasureError } from "../errors.ts";
import type { IcePoint, Lens } from "../study/types.ts";
import { type CameraFit, fitCamera, fitPlane, type PlaneFit, slopes, type WeighedPair } from "./fitPlane.ts";
import { iceToPicture } from "./homography.ts";
import { type LensFrame, undistort } from "./lens.ts";

/** Plane and camera fitted to ice points. */
export interface PointFit {
  readonly plane: PlaneFit;
  readonly camera: CameraFit | null;
  readonly pairs: readonly WeighedPair[];
  readonly lens: Lens | null;
  readonly lensFrame: LensFrame;
}

/** Without a lens one fit; with one, focal length and straightened marks are found in turn. */
export function fitThroughLens(
  points: readonly IcePoint[],
  picture: { readonly width: number; readonly height: number },
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

/** Takes lens distortion out of a picture point. */
export function straightener(fit: PointFit): (u: number, v: number) => readonly [number, number] {
  const { lens, lensFrame } = fit;
  return lens ? (u, v) => undistort(lens, lensFrame, u, v) : (u, v) => [u, v];
}

/** Sign of w in front of the camera. */
export function frontSign(plane: PlaneFit): number {
  return iceToPicture(plane.homography, plane.ice.x, plane.ice.y)[2] < 0 ? -1 : 1;
}

export function inFront(plane: PlaneFit, x: number, y: number, w: number): boolean {
  return w !== 0 && iceToPicture(plane.homography, x, y)[2] * frontSign(plane) > 0;
}
