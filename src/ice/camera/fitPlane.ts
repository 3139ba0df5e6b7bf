import type { Lens } from "../../study/types.ts";
import { type Fit, leastSquares, type Problem } from "../numeric/leastSquares.ts";
import { type WeighedPair, Whitening } from "../points/weighedPairs.ts";
import {
  denormalise,
  directLinearNormalised,
  type Homography,
  type Normaliser,
  normaliser,
} from "./homography.ts";
import { type LensFrame, undistort } from "./lens.ts";
import { withLensTerms } from "./lensSlopes.ts";

/** The lens the picture was taken through, and how many of k1, k2 the fit is to find, beginning from it. */
export interface LensModel {
  readonly lens: Lens;
  readonly frame: LensFrame;
  readonly find: 0 | 1 | 2;
}

/** The most likely homography, in coordinates normalised on the pairs, last element 1. */
export interface PlaneFit {
  readonly ice: Normaliser;
  readonly picture: Normaliser;
  /** First eight elements of the normalised homography. */
  readonly elements: readonly number[];
  /** Change of each element, then of each lens coefficient found, for plus one SD of each of the 2n observations. */
  readonly gain: readonly (readonly number[])[];
  /** Takes the ice to the picture as it would be without lens distortion. */
  readonly homography: Homography;
  readonly lens: LensModel;
  /** Sum of squared residuals in standard deviations; 2n - 8 degrees of freedom, less those of the lens. */
  readonly chiSquare: number;
}

/**
 * Maximum-likelihood homography: least squares of the distances in the picture, each pair weighted by its
 * own mark and by its place on the ice (seen in the picture), starting from the direct linear transform.
 *
 * @param straight the same pairs fitted without a lens, which this fit then begins from
 */
export function fitPlane(
  pairs: readonly WeighedPair[],
  model: LensModel = NO_LENS,
  straight?: PlaneFit,
): PlaneFit | null {
  const ideal = pairs.map((p) => {
    const [uPx, vPx] = undistort(model.lens, model.frame, p.uPx, p.vPx);
    return { ...p, uPx, vPx };
  });
  const ice = normaliser(pairs.map((p) => [p.x, p.y]));
  const picture = normaliser(ideal.map((p) => [p.uPx, p.vPx]));
  const homographyOf = (elements: readonly number[]) =>
    denormalise([...elements.slice(0, 8), 1], ice, picture);
  let elements: readonly number[] = [
    ...(straight?.elements ?? directLinearNormalised(ideal, ice, picture).slice(0, 8)),
    ...coefficients(model),
  ];
  let fit: Fit<readonly number[]> | null = null;
  // The weights of taped places depend on the fit itself: once more with the weights of the first fit.
  const rounds = pairs.some((p) => p.placeSd > 0) ? 3 : 1;
  for (let round = 0; round < rounds; round++) {
    const whitening = new Whitening(pairs, homographyOf(elements));
    fit = leastSquares(planeProblem(pairs, whitening, model, ice, picture), elements);
    elements = fit.state;
  }
  if (!fit?.gain) return null;
  return {
    ice,
    picture,
    elements: elements.slice(0, 8),
    gain: fit.gain,
    homography: homographyOf(elements),
    lens: { ...model, lens: lensOf(model, elements.slice(8)) },
    chiSquare: fit.sumOfSquares,
  };
}

const NO_LENS: LensModel = { lens: { k1: 0 }, frame: { cx: 0, cy: 0, focalPx: 1 }, find: 0 };

/** Eight elements of the normalised homography and the lens coefficients to be found, by the pairs' picture places. */
function planeProblem(
  pairs: readonly WeighedPair[],
  whitening: Whitening,
  model: LensModel,
  ice: Normaliser,
  picture: Normaliser,
): Problem<readonly number[]> {
  const { frame } = model;
  const observations = 2 * pairs.length;
  const places = pairs.map((p) => ({ x: (p.x - ice.x) * ice.scale, y: (p.y - ice.y) * ice.scale }));
  /** Normalised picture place and w of a place, and the picture place through the lens. */
  const predict = (e: readonly number[], lens: Lens, { x, y }: (typeof places)[number]) => {
    const w = e[6]! * x + e[7]! * y + 1;
    const nu = (e[0]! * x + e[1]! * y + e[2]!) / w;
    const nv = (e[3]! * x + e[4]! * y + e[5]!) / w;
    const u = (nu / picture.scale + picture.x - frame.cx) / frame.focalPx;
    const v = (nv / picture.scale + picture.y - frame.cy) / frame.focalPx;
    return { w, nu, nv, seen: withLensTerms(lens, u, v) };
  };
  return {
    observations,
    parameters: 8 + model.find,
    residuals(e, into) {
      const lens = lensOf(model, e.slice(8));
      places.forEach((place, k) => {
        const { x, y } = predict(e, lens, place).seen;
        whitening.residual(k, frame.cx + frame.focalPx * x, frame.cy + frame.focalPx * y, into, 2 * k);
      });
    },
    slopes(e, into) {
      const lens = lensOf(model, e.slice(8));
      places.forEach((place, k) => {
        const { w, nu, nv, seen } = predict(e, lens, place);
        const put = (n: number, du: number, dv: number) =>
          whitening.distance(k, du, dv, into, n * observations + 2 * k);
        /** A change of the normalised picture place before the lens. */
        const through = (n: number, du: number, dv: number) =>
          put(n, seen.xx * du + seen.xy * dv, seen.xy * du + seen.yy * dv);
        const px = 1 / (w * picture.scale);
        const [ax, ay] = [px * place.x, px * place.y];
        through(0, ax, 0);
        through(1, ay, 0);
        through(2, px, 0);
        through(3, 0, ax);
        through(4, 0, ay);
        through(5, 0, px);
        through(6, -nu * ax, -nv * ax);
        through(7, -nu * ay, -nv * ay);
        for (let n = 0; n < model.find; n++) {
          const [x, y] = n === 0 ? seen.byK1 : seen.byK2;
          put(8 + n, frame.focalPx * x, frame.focalPx * y);
        }
      });
    },
    moved: (e, by) => e.map((element, k) => element + by[k]!),
  };
}

/** The coefficients that are to be found. */
export function coefficients({ lens, find }: Pick<LensModel, "lens" | "find">): number[] {
  return [lens.k1, lens.k2 ?? 0].slice(0, find);
}

/** The same lens in lengths of another focal length: k1 goes with its square, k2 with its fourth power. */
export function inLengthsOf(focalPx: number, model: LensModel): LensModel {
  const square = (focalPx / model.frame.focalPx) ** 2;
  const { k1, k2 } = model.lens;
  const lens = { k1: k1 * square, ...(k2 === undefined ? {} : { k2: k2 * square * square }) };
  return { ...model, lens, frame: { ...model.frame, focalPx } };
}

/** The lens with the found coefficients put in. */
export function lensOf({ lens, find }: Pick<LensModel, "lens" | "find">, found: readonly number[]): Lens {
  if (find === 0) return lens;
  return find === 1 ? { ...lens, k1: found[0]! } : { k1: found[0]!, k2: found[1]! };
}
