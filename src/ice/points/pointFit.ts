import { MeasureError } from "../../errors.ts";
import type { IcePoint, Lens, Picture } from "../../study/types.ts";
import { type CameraFit, centreOf, fitCamera } from "../camera/fitCamera.ts";
import { fitPlane, inLengthsOf, type PlaneFit } from "../camera/fitPlane.ts";
import { iceToPicture } from "../camera/homography.ts";
import type { LensFrame } from "../camera/lens.ts";
import { exchangedPoints, notSeenFromAbove } from "./exchangedPoints.ts";
import { isSeenFromAbove } from "./seenFromAbove.ts";
import type { WeighedPair } from "./weighedPairs.ts";

/** Plane and camera fitted to ice points. */
export interface PointFit {
  readonly plane: PlaneFit;
  readonly camera: CameraFit | null;
  readonly pairs: readonly WeighedPair[];
}

/** Through which lens points are fitted; none where nothing is said. */
interface LensWish {
  readonly lens?: Lens | null;
  /** How many of k1, k2 are found from the points themselves. */
  readonly find?: 0 | 1 | 2;
  /** The same points fitted without a lens, to begin from. */
  readonly straight?: PointFit | null;
}

/**
 * Lens coefficients are in focal lengths, so with a given lens the focal length and the plane are found in turn.
 *
 * @throws {MeasureError} `ice-points-degenerate`, `ice-points-mirrored`
 */
export function fitThroughLens(
  points: readonly IcePoint[],
  picture: Picture,
  markSdPx: number,
  { lens = null, find = 0, straight = null }: LensWish = {},
): PointFit {
  const centre = centreOf(picture);
  const { cx, cy } = centre;
  const pairs = points.map(({ x, y, xPx, yPx, uPx, u }) => {
    return { x, y, uPx: xPx, vPx: yPx, markSdPx: uPx ?? markSdPx, placeSd: u ?? 0 };
  });
  const labels = points.map((p) => p.label);
  const nearFocalPx = straight?.camera?.camera.focalPx ?? Math.max(picture.width, picture.height);
  let frame: LensFrame = { cx, cy, focalPx: nearFocalPx };
  for (let round = 0; ; round++) {
    const model = { lens: lens ?? { k1: 0 }, frame, find };
    const plane = fitPlane(pairs, model, straight?.plane);
    if (!plane && !exchangedPoints(pairs, labels, model)) {
      throw new MeasureError(
        "ice-points-degenerate",
        "fitScale requires ice points that determine a homography; the normal equations are singular",
        "These ice points can't give a scale: they hardly span the ice. Spread them out, along the lane and across it.",
      );
    }
    if (!plane || !isSeenFromAbove(plane, pairs)) throw notSeenFromAbove(pairs, labels, model);
    const camera = fitCamera(pairs, plane, centre);
    const focalPx = camera?.camera.focalPx ?? frame.focalPx;
    const settled = Math.abs(focalPx - frame.focalPx) < 1e-8 * focalPx;
    if (!lens || settled || round >= 50) return { plane: withLensIn(plane, focalPx), camera, pairs };
    frame = { cx, cy, focalPx };
  }
}

/** The same plane with the lens coefficients it found in lengths of the camera's focal length. */
function withLensIn(plane: PlaneFit, focalPx: number): PlaneFit {
  if (plane.lens.find === 0) return plane;
  const square = (focalPx / plane.lens.frame.focalPx) ** 2;
  const gain = plane.gain.map((row, k) => (k < 8 ? row : row.map((part) => part * square ** (k - 7))));
  return { ...plane, gain, lens: inLengthsOf(focalPx, plane.lens) };
}

/** Sign of w in front of the camera. */
export function frontSign(plane: PlaneFit): number {
  return iceToPicture(plane.homography, plane.ice.x, plane.ice.y)[2] < 0 ? -1 : 1;
}

export function inFront(plane: PlaneFit, x: number, y: number, w: number): boolean {
  return w !== 0 && iceToPicture(plane.homography, x, y)[2] * frontSign(plane) > 0;
}
