import type { Lens } from "../../study/types.ts";
import { leastSquares, type Problem } from "../numeric/leastSquares.ts";
import { type WeighedPair, Whitening } from "../points/weighedPairs.ts";
import { type Camera, cameraFromHomography, focalLengths, nudged, project } from "./camera.ts";
import { coefficients, type LensModel, lensOf, type PlaneFit } from "./fitPlane.ts";
import { bent } from "./lensSlopes.ts";

export interface CameraFit {
  readonly camera: Camera;
  /** Log focal length, turn x y z (rad), place x y z (m), lens coefficients found: change of each for plus one SD of each of the 2n observations. */
  readonly gain: readonly (readonly number[])[];
  readonly lens: Lens;
  /** Sum of squared residuals in standard deviations; 2n - 7 degrees of freedom. */
  readonly chiSquare: number;
}

/**
 * The most likely camera (focal length, direction, place) for the same pairs: square pixels, principal point
 * at (cx, cy). Null when the pairs cannot tell its parameters apart, as when it looks straight down.
 */
export function fitCamera(
  pairs: readonly WeighedPair[],
  plane: PlaneFit,
  cx: number,
  cy: number,
): CameraFit | null {
  const { homography, ice } = plane;
  const both = focalLengths(homography, cx, cy);
  const size = Math.max(cx, cy) * 2;
  const closed = [both.perpendicular, both.equalUnits].filter((f): f is number => f !== null);
  const problem = cameraProblem(pairs, new Whitening(pairs, homography), plane.lens);
  const found = coefficients(plane.lens);
  const residuals = new Float64Array(problem.observations);
  // Square along an axis both formulas may fail; then any ordinary lens is a start.
  const starts = [...closed, 0.7 * size, 1.5 * size, 4 * size].map((f) => {
    const state = { camera: cameraFromHomography(homography, f, cx, cy, ice.x, ice.y), found };
    problem.residuals(state, residuals);
    return { state, total: residuals.reduce((sum, r) => sum + r * r, 0) };
  });
  const [start] = starts.filter((s) => Number.isFinite(s.total)).sort((a, b) => a.total - b.total);
  if (!start) return null;
  const { state, gain, sumOfSquares } = leastSquares(problem, start.state);
  if (!gain) return null;
  return {
    camera: state.camera,
    gain,
    lens: lensOf(plane.lens, state.found),
    chiSquare: sumOfSquares,
  };
}

interface CameraState {
  readonly camera: Camera;
  /** Lens coefficients found so far. */
  readonly found: readonly number[];
}

/** Log focal length, turn, place and the lens coefficients to be found, by the pairs' picture places. */
function cameraProblem(
  pairs: readonly WeighedPair[],
  whitening: Whitening,
  model: LensModel,
): Problem<CameraState> {
  const observations = 2 * pairs.length;
  return {
    observations,
    parameters: 7 + model.find,
    residuals({ camera, found }, into) {
      const { cx, cy, focalPx } = camera;
      const lens = lensOf(model, found);
      pairs.forEach((p, k) => {
        const [u, v] = project(camera, p.x, p.y, 0);
        const { x, y } = bent(lens, (u - cx) / focalPx, (v - cy) / focalPx);
        whitening.residual(k, cx + focalPx * x, cy + focalPx * y, into, 2 * k);
      });
    },
    slopes({ camera, found }, into) {
      const { cx, cy, focalPx, rotation: r } = camera;
      const lens = lensOf(model, found);
      pairs.forEach((p, k) => {
        const [u, v, depth] = project(camera, p.x, p.y, 0);
        const [x, y] = [(u - cx) / focalPx, (v - cy) / focalPx];
        const seen = bent(lens, x, y);
        const put = (n: number, dx: number, dy: number) =>
          whitening.distance(k, focalPx * dx, focalPx * dy, into, n * observations + 2 * k);
        /** A change, in camera axes, of where the point is, in depths. */
        const through = (n: number, dx: number, dy: number, dz: number) => {
          const [a, b] = [dx - x * dz, dy - y * dz];
          put(n, seen.xx * a + seen.xy * b, seen.xy * a + seen.yy * b);
        };
        put(0, seen.x, seen.y);
        // turn × (x, y, 1), for a turn about each axis
        through(1, 0, -1, y);
        through(2, 1, 0, -x);
        through(3, -y, x, 0);
        // The camera moves one way, and the point the other.
        for (let n = 0; n < 3; n++) through(4 + n, -r[n]! / depth, -r[3 + n]! / depth, -r[6 + n]! / depth);
        for (let n = 0; n < model.find; n++) put(7 + n, ...(n === 0 ? seen.byK1 : seen.byK2));
      });
    },
    moved: ({ camera, found }, by) => ({
      camera: nudged(camera, by[0]!, [by[1]!, by[2]!, by[3]!], [by[4]!, by[5]!, by[6]!]),
      found: found.map((coefficient, n) => coefficient + by[7 + n]!),
    }),
  };
}
