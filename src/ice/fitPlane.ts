import type { Matrix } from "ml-matrix";
import { type Camera, cameraFromHomography, focalLengths, nudged, project } from "./camera.ts";
import {
  denormalise,
  directLinearNormalised,
  type Homography,
  iceToPicture,
  type Normaliser,
  normaliser,
  type PointPair,
} from "./homography.ts";
import { type Fit, leastSquares } from "./leastSquares.ts";

/** A pair with the standard uncertainties of its two halves: of the mark (px) and of the taped place (m). */
export interface WeighedPair extends PointPair {
  readonly markSdPx: number;
  readonly placeSd: number;
}

/** The most likely homography, in coordinates normalised on the pairs, last element 1. */
export interface PlaneFit {
  readonly ice: Normaliser;
  readonly picture: Normaliser;
  /** First eight elements of the normalised homography. */
  readonly elements: readonly number[];
  /** Change of each element for plus one SD of each of the 2n observations. */
  readonly gain: Matrix;
  readonly homography: Homography;
  /** Sum of squared residuals in standard deviations; 2n - 8 degrees of freedom. */
  readonly chiSquare: number;
}

/**
 * Maximum-likelihood homography: least squares of the distances in the picture, each pair weighted by its
 * own mark and by its place on the ice (seen in the picture), starting from the direct linear transform.
 */
export function fitPlane(pairs: readonly WeighedPair[]): PlaneFit | null {
  const ice = normaliser(pairs.map((p) => [p.x, p.y]));
  const picture = normaliser(pairs.map((p) => [p.uPx, p.vPx]));
  let elements: readonly number[] = directLinearNormalised(pairs, ice, picture).slice(0, 8);
  let fit: Fit | null = null;
  // The weights of taped places depend on the fit itself: once more with the weights of the first fit.
  const rounds = pairs.some((p) => p.placeSd > 0) ? 3 : 1;
  for (let round = 0; round < rounds; round++) {
    const whiten = whiteners(pairs, denormalise([...elements, 1], ice, picture));
    fit = leastSquares((trial) => {
      const h = denormalise([...trial, 1], ice, picture);
      return residualsOf(pairs, whiten, (p) => iceToPicture(h, p.x, p.y));
    }, elements);
    elements = fit.parameters;
  }
  if (!fit?.gain) return null;
  const homography = denormalise([...elements, 1], ice, picture);
  return { ice, picture, elements, gain: fit.gain.neg(), homography, chiSquare: fit.sumOfSquares };
}

export interface CameraFit {
  readonly camera: Camera;
  /** Rows: log focal length, turn x y z (rad), place x y z (m); columns: the 2n observations, plus one SD each. */
  readonly gain: Matrix;
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
  // Square along an axis both formulas may fail; then any ordinary lens is a start.
  const starts = [...closed, 0.7 * size, 1.5 * size, 4 * size].map((f) =>
    cameraFromHomography(homography, f, cx, cy, ice.x, ice.y),
  );
  const whiten = whiteners(pairs, homography);
  const misfit = (camera: Camera) => residualsOf(pairs, whiten, (p) => project(camera, p.x, p.y, 0));
  const total = (camera: Camera) => misfit(camera).reduce((sum, r) => sum + r * r, 0);
  const ranked = starts.filter((c) => Number.isFinite(total(c))).sort((a, b) => total(a) - total(b));
  let start = ranked[0];
  if (!start) return null;
  let fit: Fit | null = null;
  // The turn is measured from the start, so begin again from the solution: then the turn is about zero.
  for (let round = 0; round < 2; round++) {
    const from: Camera = start;
    const at = (p: readonly number[]) => nudged(from, p[0]!, [p[1]!, p[2]!, p[3]!], [p[4]!, p[5]!, p[6]!]);
    fit = leastSquares((p) => misfit(at(p)), [0, 0, 0, 0, 0, 0, 0]);
    start = at(fit.parameters);
  }
  if (!fit?.gain) return null;
  return { camera: start, gain: fit.gain.neg(), chiSquare: fit.sumOfSquares };
}

/** Predicted minus marked, in standard deviations: two numbers a pair. */
function residualsOf(
  pairs: readonly WeighedPair[],
  whiten: readonly Whitener[],
  predict: (pair: WeighedPair) => readonly [number, number, number],
): number[] {
  const residuals = new Array<number>(2 * pairs.length);
  pairs.forEach((pair, k) => {
    const [u, v] = predict(pair);
    const { l11, l21, l22 } = whiten[k]!;
    const first = (u - pair.uPx) / l11;
    residuals[2 * k] = first;
    residuals[2 * k + 1] = (v - pair.vPx - l21 * first) / l22;
  });
  return residuals;
}

/** Cholesky factor of the 2 x 2 covariance of a pair's picture distance: dividing by it gives standard deviations. */
interface Whitener {
  readonly l11: number;
  readonly l21: number;
  readonly l22: number;
}

function whiteners(pairs: readonly WeighedPair[], h: Homography): Whitener[] {
  return pairs.map((p) => {
    const [a, b, c, d] = slopes(h, p.x, p.y);
    const own = p.markSdPx ** 2;
    const place = p.placeSd ** 2;
    const l11 = Math.sqrt(own + place * (a * a + b * b));
    const l21 = (place * (a * c + b * d)) / l11;
    return { l11, l21, l22: Math.sqrt(own + place * (c * c + d * d) - l21 * l21) };
  });
}

/** ∂u/∂x, ∂u/∂y, ∂v/∂x, ∂v/∂y of a homography, px per metre. */
export function slopes(h: Homography, x: number, y: number): readonly [number, number, number, number] {
  const [u, v, w] = iceToPicture(h, x, y);
  return [(h[0]! - u * h[6]!) / w, (h[1]! - u * h[7]!) / w, (h[3]! - v * h[6]!) / w, (h[4]! - v * h[7]!) / w];
}
