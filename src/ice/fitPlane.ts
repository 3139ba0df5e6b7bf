import type { Matrix } from "ml-matrix";
import type { Lens } from "../study/types.ts";
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
import { distort, type LensFrame, undistort } from "./lens.ts";

/** The lens the picture was taken through, and how many of k1, k2 the fit is to find, beginning from it. */
export interface LensModel {
  readonly lens: Lens;
  readonly frame: LensFrame;
  readonly find: 0 | 1 | 2;
}

/** A pair, as marked in the picture, with the standard uncertainties of its two halves: of the mark (px) and of the taped place (m). */
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
  /** Change of each element, then of each lens coefficient found, for plus one SD of each of the 2n observations. */
  readonly gain: Matrix;
  /** Takes the ice to the picture as it would be without lens distortion. */
  readonly homography: Homography;
  readonly lens: LensModel;
  /** Sum of squared residuals in standard deviations; 2n - 8 degrees of freedom, less those of the lens. */
  readonly chiSquare: number;
}

/**
 * Maximum-likelihood homography: least squares of the distances in the picture, each pair weighted by its
 * own mark and by its place on the ice (seen in the picture), starting from the direct linear transform.
 */
export function fitPlane(pairs: readonly WeighedPair[], model: LensModel = NO_LENS): PlaneFit | null {
  const straight = pairs.map((p) => {
    const [uPx, vPx] = undistort(model.lens, model.frame, p.uPx, p.vPx);
    return { ...p, uPx, vPx };
  });
  const ice = normaliser(pairs.map((p) => [p.x, p.y]));
  const picture = normaliser(straight.map((p) => [p.uPx, p.vPx]));
  let elements: readonly number[] = [
    ...directLinearNormalised(straight, ice, picture).slice(0, 8),
    ...coefficients(model),
  ];
  let fit: Fit | null = null;
  // The weights of taped places depend on the fit itself: once more with the weights of the first fit.
  const rounds = pairs.some((p) => p.placeSd > 0) ? 3 : 1;
  for (let round = 0; round < rounds; round++) {
    const whiten = whiteners(pairs, denormalise([...elements.slice(0, 8), 1], ice, picture));
    fit = leastSquares((trial) => {
      const h = denormalise([...trial.slice(0, 8), 1], ice, picture);
      const lens = lensOf(model, trial.slice(8));
      return residualsOf(pairs, whiten, (p) => {
        const [u, v] = iceToPicture(h, p.x, p.y);
        return distort(lens, model.frame, u, v);
      });
    }, elements);
    elements = fit.parameters;
  }
  if (!fit?.gain) return null;
  return {
    ice,
    picture,
    elements: elements.slice(0, 8),
    gain: fit.gain.neg(),
    homography: denormalise([...elements.slice(0, 8), 1], ice, picture),
    lens: { ...model, lens: lensOf(model, elements.slice(8)) },
    chiSquare: fit.sumOfSquares,
  };
}

const NO_LENS: LensModel = { lens: { k1: 0 }, frame: { cx: 0, cy: 0, focalPx: 1 }, find: 0 };

/** Those that are to be found. */
function coefficients({ lens, find }: LensModel): number[] {
  return [lens.k1, lens.k2 ?? 0].slice(0, find);
}

/** The lens with the found coefficients put in. */
export function lensOf({ lens, find }: LensModel, found: readonly number[]): Lens {
  if (find === 0) return lens;
  return find === 1 ? { ...lens, k1: found[0]! } : { k1: found[0]!, k2: found[1]! };
}

export interface CameraFit {
  readonly camera: Camera;
  /** Rows: log focal length, turn x y z (rad), place x y z (m), lens coefficients found; columns: the 2n observations, plus one SD each. */
  readonly gain: Matrix;
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
  // Square along an axis both formulas may fail; then any ordinary lens is a start.
  const starts = [...closed, 0.7 * size, 1.5 * size, 4 * size].map((f) =>
    cameraFromHomography(homography, f, cx, cy, ice.x, ice.y),
  );
  const whiten = whiteners(pairs, homography);
  const misfit = (camera: Camera, lens: Lens) =>
    residualsOf(pairs, whiten, (p) => {
      const [u, v] = project(camera, p.x, p.y, 0);
      return distort(lens, camera, u, v);
    });
  const total = (camera: Camera) => misfit(camera, plane.lens.lens).reduce((sum, r) => sum + r * r, 0);
  const ranked = starts.filter((c) => Number.isFinite(total(c))).sort((a, b) => total(a) - total(b));
  let start = ranked[0];
  if (!start) return null;
  let fit: Fit | null = null;
  let found = coefficients(plane.lens);
  // The turn is measured from the start, so begin again from the solution: then the turn is about zero.
  for (let round = 0; round < 2; round++) {
    const from: Camera = start;
    const at = (p: readonly number[]) => nudged(from, p[0]!, [p[1]!, p[2]!, p[3]!], [p[4]!, p[5]!, p[6]!]);
    fit = leastSquares((p) => misfit(at(p), lensOf(plane.lens, p.slice(7))), [0, 0, 0, 0, 0, 0, 0, ...found]);
    start = at(fit.parameters);
    found = fit.parameters.slice(7);
  }
  if (!fit?.gain) return null;
  return {
    camera: start,
    gain: fit.gain.neg(),
    lens: lensOf(plane.lens, found),
    chiSquare: fit.sumOfSquares,
  };
}

/** Predicted minus marked, in standard deviations: two numbers a pair. */
function residualsOf(
  pairs: readonly WeighedPair[],
  whiten: readonly Whitener[],
  predict: (pair: WeighedPair) => readonly [number, number],
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
