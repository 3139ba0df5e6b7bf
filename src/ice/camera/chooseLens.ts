import { MeasureError } from "../../errors.ts";
import type { IcePoint, Lens } from "../../study/types.ts";
import { K95 } from "../../uncertainty/uncertain.ts";
import { fitThroughLens, type PointFit } from "../points/pointFit.ts";
import type { LensSummary } from "../types.ts";
import type { PlaneFit } from "./fitPlane.ts";
import { isOneToOne } from "./lens.ts";

/** Below six points there is nothing left to tell a lens from a bad point. */
const LEAST_POINTS = 6;
/** The misfit must fall by this much, in variances: chance does it once in a hundred times (chi-square, 1 degree of freedom). */
const LEAST_GAIN = 6.635;
/** Wider than this, a coefficient says nothing; ordinary lenses lie from -0.35 to 0.1. [judgement] */
const MOST_U95 = 0.2;

interface Picture {
  readonly width: number;
  readonly height: number;
}

export interface LensChoice {
  readonly fit: PointFit;
  readonly lens: LensSummary;
}

/** Degrees of freedom left by the plane of so many points. */
export function freedomOf(plane: PlaneFit, count: number): number {
  return 2 * count - 8 - plane.lens.find;
}

/**
 * The points fitted through the given lens, or through one found from them where they clearly show it: k1, and
 * k2 as well where that clearly does still better.
 *
 * @throws {MeasureError} `bad-lens`; see `fitThroughLens`
 */
export function chooseLens(
  points: readonly IcePoint[],
  picture: Picture,
  markSdPx: number,
  given: Lens | undefined,
): LensChoice {
  if (given) checkLens(given, picture);
  const plain = fitThroughLens(points, picture, markSdPx, given ?? null);
  if (given) {
    checkLens(given, picture, plain.camera?.camera.focalPx ?? plain.plane.lens.frame.focalPx);
    return { fit: plain, lens: { from: "given", k1: given.k1, k2: given.k2 ?? 0, u95K1: null } };
  }
  if (points.length < LEAST_POINTS) {
    return {
      fit: plain,
      lens: {
        value: null,
        why: "The lens is taken as free of distortion; six or more ice points could show it.",
      },
    };
  }
  const one = bentFit(points, picture, markSdPx, 1, plain);
  if (!one) return { fit: plain, lens: { value: null, why: CANNOT_TELL } };
  if (!gains(plain, one)) return { fit: plain, lens: { value: null, why: notFound(one) } };
  const two = points.length > LEAST_POINTS ? bentFit(points, picture, markSdPx, 2, plain) : null;
  const fit = two && gains(one, two) ? two : one;
  const { k1, k2 } = fit.camera!.lens;
  return { fit, lens: { from: "ice points", k1, k2: k2 ?? 0, u95K1: u95K1(fit) } };
}

const CANNOT_TELL =
  "The lens is taken as free of distortion: these ice points can't tell it. Points near the picture's edges and its middle would.";

function notFound(bent: PointFit): string {
  const u95 = u95K1(bent);
  if (u95 > MOST_U95) return CANNOT_TELL;
  const value = bent.camera!.lens.k1;
  return `The ice points show no lens distortion (k1 = ${value.toFixed(3)} ± ${u95.toFixed(3)}), so none is taken out.`;
}

function u95K1(fit: PointFit): number {
  return K95 * Math.hypot(...fit.camera!.gain[7]!);
}

function bentFit(
  points: readonly IcePoint[],
  picture: Picture,
  markSdPx: number,
  find: 1 | 2,
  straight: PointFit,
): PointFit | null {
  try {
    const fit = fitThroughLens(points, picture, markSdPx, null, find, straight);
    if (!fit.camera) return null;
    const { focalPx } = fit.camera.camera;
    const real = [fit.camera.lens, fit.plane.lens.lens].every((lens) =>
      isOneToOne(lens, Math.hypot(picture.width, picture.height) / 2 / focalPx),
    );
    return real ? fit : null;
  } catch (error) {
    // Whatever is wrong with the points shows without a lens as well.
    if (error instanceof MeasureError) return null;
    throw error;
  }
}

/**
 * Whether one more lens coefficient explains so much more that chance does not, and Schwarz's criterion agrees.
 *
 * @see Schwarz (1978), Annals of Statistics 6, 461-464
 */
function gains(before: PointFit, after: PointFit): boolean {
  const unit = Math.max(1, after.plane.chiSquare / Math.max(1, freedomOf(after.plane, after.pairs.length)));
  const gain = (before.plane.chiSquare - after.plane.chiSquare) / unit;
  return gain > Math.max(LEAST_GAIN, Math.log(2 * after.pairs.length));
}

/**
 * @param focalPx absent = not known yet: then only what no ordinary lens can be is refused
 * @throws {MeasureError} `bad-lens` unless it shows every point of the picture once
 */
export function checkLens(
  lens: Lens,
  picture: Picture,
  focalPx = 1.5 * Math.max(picture.width, picture.height),
): void {
  const numbers = [lens.k1, lens.k2 ?? 0];
  const corner = Math.hypot(picture.width, picture.height) / 2 / focalPx;
  if (numbers.every(Number.isFinite) && isOneToOne(lens, corner)) return;
  throw new MeasureError(
    "bad-lens",
    `fitScale requires lens coefficients that keep the picture one to one; k1, k2 = ${numbers.join(", ")}`,
    `The lens coefficients ${numbers.join(", ")} would fold the picture's corners onto its inside, so they can't be right. Check their signs, and that they belong to coordinates in focal lengths.`,
    { k1: lens.k1, k2: lens.k2 },
  );
}
