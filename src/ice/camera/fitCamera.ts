import type { Lens, Picture } from "../../study/types.ts";
import { leastSquares, type Problem } from "../numeric/leastSquares.ts";
import { type WeighedPair, Whitening } from "../points/weighedPairs.ts";
import { type Camera, cameraFromHomography, focalLengths, nudged, project } from "./camera.ts";
import { coefficients, inLengthsOf, type LensModel, lensOf, type PlaneFit } from "./fitPlane.ts";
import { withLensTerms } from "./lensSlopes.ts";

export interface CameraFit {
  readonly camera: Camera;
  /**
   * Log focal length, turn x y z (rad), place x y z (m), principal point x y (px), lens coefficients found: change of each
   * for plus one SD of each of the 2n observations, of what is known of the principal point, x and y, and of the lens where
   * that is known.
   */
  readonly gain: readonly (readonly number[])[];
  readonly lens: Lens;
  /** How many of k1, k2 are among what the gain tells. */
  readonly find: 0 | 1 | 2;
  /** Sum of squared residuals in standard deviations, those of what is known beforehand among them; 2n - 7 degrees of freedom, less those of the lens. */
  readonly chiSquare: number;
}

/** Where the principal point is to be expected, px. */
export interface Centre {
  readonly cx: number;
  readonly cy: number;
  readonly sdPx: number;
}

/** Rows of a camera's gain, and its deviations: where the place, the principal point and the lens begin. */
export const PLACE_AT = 4;
export const CENTRE_AT = 7;
export const LENS_AT = 9;

/**
 * SD of a principal point about the picture's middle, for each coordinate, as a share of the longer side: the root mean
 * square of the four coordinates of the two real cameras in tests/reference/boards.json.
 */
const OFF_CENTRE = 0.02;

/** SD of k1 about 0 of a lens of which nothing is known: ordinary ones lie from -0.35 to 0.1. [judgement] */
export const ORDINARY_LENS = 0.15;

export function centreOf(picture: Picture): Centre {
  const { width, height } = picture;
  return { cx: (width - 1) / 2, cy: (height - 1) / 2, sdPx: OFF_CENTRE * Math.max(width, height) };
}

/** What else is known of a camera before it is fitted. */
interface Foreknown {
  /** Where the plane was fitted without a lens: k1 may be anything about 0 with this SD; null = it is 0. */
  readonly lensSd?: number | null;
  /** The camera of the same pairs through another lens, which is near already. */
  readonly near?: CameraFit | null;
}

/**
 * The most likely camera (focal length, direction, place, principal point) for the same pairs: square pixels, principal
 * point about where it is expected. Null when the pairs cannot tell its parameters apart, as when it looks straight down.
 */
export function fitCamera(
  pairs: readonly WeighedPair[],
  plane: PlaneFit,
  centre: Centre,
  { lensSd = null, near = null }: Foreknown = {},
): CameraFit | null {
  const { homography, ice } = plane;
  const { cx, cy } = centre;
  const both = focalLengths(homography, cx, cy);
  const size = Math.max(cx, cy) * 2;
  const closed = [both.perpendicular, both.equalUnits].filter((f): f is number => f !== null);
  const model: LensModel = lensSd === null ? plane.lens : { ...plane.lens, find: 1 };
  const problem = cameraProblem(pairs, new Whitening(pairs, homography), model, centre, lensSd);
  const residuals = new Float64Array(problem.observations);
  // Square along an axis both formulas may fail; then any ordinary lens is a start.
  const states = [...closed, 0.7 * size, 1.5 * size, 4 * size].map((f): CameraState => {
    const camera = cameraFromHomography(homography, f, centre, ice);
    return { camera, found: coefficients(inLengthsOf(f, model)) };
  });
  if (near) states.push({ camera: near.camera, found: coefficients({ lens: near.lens, find: model.find }) });
  const starts = states.map((state) => {
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
    lens: lensOf(model, state.found),
    find: model.find,
    chiSquare: sumOfSquares,
  };
}

interface CameraState {
  readonly camera: Camera;
  /** Lens coefficients found so far. */
  readonly found: readonly number[];
}

/** Log focal length, turn, place, principal point and the lens coefficients to be found, by the pairs' picture places. */
function cameraProblem(
  pairs: readonly WeighedPair[],
  whitening: Whitening,
  model: LensModel,
  centre: Centre,
  lensSd: number | null,
): Problem<CameraState> {
  const marks = 2 * pairs.length;
  const observations = marks + (lensSd === null ? 2 : 3);
  return {
    observations,
    parameters: LENS_AT + model.find,
    residuals({ camera, found }, into) {
      const { cx, cy, focalPx } = camera;
      const lens = lensOf(model, found);
      pairs.forEach((p, k) => {
        const [u, v] = project(camera, p.x, p.y, 0);
        const { x, y } = withLensTerms(lens, (u - cx) / focalPx, (v - cy) / focalPx);
        whitening.residual(k, cx + focalPx * x, cy + focalPx * y, into, 2 * k);
      });
      into[marks] = (cx - centre.cx) / centre.sdPx;
      into[marks + 1] = (cy - centre.cy) / centre.sdPx;
      if (lensSd !== null) into[marks + 2] = found[0]! / lensSd;
    },
    slopes({ camera, found }, into) {
      const { cx, cy, focalPx, rotation: r } = camera;
      const lens = lensOf(model, found);
      pairs.forEach((p, k) => {
        const [u, v, depth] = project(camera, p.x, p.y, 0);
        const [x, y] = [(u - cx) / focalPx, (v - cy) / focalPx];
        const seen = withLensTerms(lens, x, y);
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
        for (let n = 0; n < 3; n++)
          through(PLACE_AT + n, -r[n]! / depth, -r[3 + n]! / depth, -r[6 + n]! / depth);
        put(CENTRE_AT, 1 / focalPx, 0);
        put(CENTRE_AT + 1, 0, 1 / focalPx);
        for (let n = 0; n < model.find; n++) put(LENS_AT + n, ...(n === 0 ? seen.byK1 : seen.byK2));
      });
      for (let n = 0; n < 2; n++) into[(CENTRE_AT + n) * observations + marks + n] = 1 / centre.sdPx;
      if (lensSd !== null) into[LENS_AT * observations + marks + 2] = 1 / lensSd;
    },
    moved: ({ camera, found }, by) => ({
      camera: nudged(camera, by[0]!, [by[1]!, by[2]!, by[3]!], [by[4]!, by[5]!, by[6]!], [by[7]!, by[8]!]),
      found: found.map((coefficient, n) => coefficient + by[LENS_AT + n]!),
    }),
  };
}
