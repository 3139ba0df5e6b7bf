import { MeasureError } from "../../errors.ts";
import { tQuantile } from "../../statistics/distributions.ts";
import type { IcePoint, Lens, Picture } from "../../study/types.ts";
import { K95 } from "../../uncertainty/uncertain.ts";
import { fitThroughLens, type PointFit } from "../points/pointFit.ts";
import type { LensSummary } from "../types.ts";
import { isSeenByCamera } from "./cameraMisfit.ts";
import { LENS_AT } from "./fitCamera.ts";
import type { PlaneFit } from "./fitPlane.ts";
import { reach } from "./lens.ts";
import { checkLens, narrowCorner, usedRadius } from "./lensUse.ts";

/** Below six points there is nothing left to tell a lens from a bad point. */
const LEAST_POINTS = 6;
/** The misfit must fall by this much, in variances, for one coefficient more or two: chance does it once in a hundred times (chi-square, NIST/SEMATECH e-Handbook, 1.3.6.7.4). */
const LEAST_GAIN = { 1: 6.635, 2: 9.21 } as const;
/** Wider than this, a coefficient says nothing; ordinary lenses lie from -0.35 to 0.1. [judgement] */
const MOST_U95 = 0.2;

/** No lens has so large a k1, and one no better known says nothing: of few points in a patch chance makes lenses of any k1. [judgement] */
const EXTREME = 0.6;

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
  if (given) checkLens(given, narrowCorner(picture));
  const plain = fitThroughLens(points, picture, markSdPx, { lens: given ?? null });
  if (given) {
    checkLens(given, usedRadius(points, picture) / plain.plane.lens.frame.focalPx);
    return { fit: plain, lens: { from: "given", k1: given.k1, k2: given.k2 ?? 0, u95K1: null } };
  }
  if (points.length < LEAST_POINTS) {
    return {
      fit: plain,
      lens: {
        value: null,
        why: "So few ice points can't tell the lens distortion, six or more could; every ± allows for that of an ordinary lens.",
      },
    };
  }
  const first = fitWithLens(points, picture, markSdPx, 1, plain);
  // Points that say nothing of one coefficient say less of two.
  if (first?.camera && u95K1(first) > EXTREME) return { fit: plain, lens: { value: null, why: CANNOT_TELL } };
  const one = first && isPossible(first, points, picture) ? first : null;
  const askBoth = points.length > LEAST_POINTS && (!one || gains(plain, one));
  const second = askBoth ? fitWithLens(points, picture, markSdPx, 2, plain) : null;
  const two = second && isPossible(second, points, picture) ? second : null;
  // Where k1 alone would fold the picture, both may still not.
  const simple = one ?? two;
  if (!simple) return { fit: plain, lens: { value: null, why: CANNOT_TELL } };
  if (!gains(plain, simple)) return { fit: plain, lens: { value: null, why: notFound(simple) } };
  const fit = two && simple !== two && gains(simple, two) ? two : simple;
  const { k1, k2 } = fit.camera!.lens;
  return { fit, lens: { from: "ice points", k1, k2: k2 ?? 0, u95K1: u95K1(fit) } };
}

const CANNOT_TELL =
  "These ice points can't tell the lens distortion, so every ± allows for that of an ordinary lens. Points near the picture's edges and its middle would tell it, or straight lines.";

function notFound(withLens: PointFit): string {
  const u95 = u95K1(withLens);
  if (u95 > MOST_U95) return CANNOT_TELL;
  const value = withLens.camera!.lens.k1;
  return `The ice points show no lens distortion (k1 = ${value.toFixed(3)} ± ${u95.toFixed(3)}); what they leave open of it is in every ±.`;
}

function u95K1(fit: PointFit): number {
  return K95 * Math.hypot(...fit.camera!.gain[LENS_AT]!);
}

function fitWithLens(
  points: readonly IcePoint[],
  picture: Picture,
  markSdPx: number,
  find: 1 | 2,
  straight: PointFit,
): PointFit | null {
  try {
    return fitThroughLens(points, picture, markSdPx, { find, straight });
  } catch (error) {
    // Whatever is wrong with the points shows without a lens as well.
    if (error instanceof MeasureError) return null;
    throw error;
  }
}

/** Whether a lens could be so, and folds the picture nowhere near the points. */
function isPossible(fit: PointFit, points: readonly IcePoint[], picture: Picture): boolean {
  if (!fit.camera || Math.abs(fit.camera.lens.k1) > EXTREME || u95K1(fit) > EXTREME) return false;
  const used = usedRadius(points, picture) / fit.camera.camera.focalPx;
  return [fit.camera.lens, fit.plane.lens.lens].every((lens) => reach(lens) > used);
}

/**
 * Whether more lens coefficients explain so much more that chance does not, and Schwarz's criterion agrees. A camera
 * shows it that the plane alone does not: seen askew, a bent picture of few points is near a straight one of a plane that
 * no camera could see.
 *
 * @see Schwarz (1978), Annals of Statistics 6, 461-464
 */
function gains(before: PointFit, after: PointFit): boolean {
  const find = after.plane.lens.find;
  const freedom = 2 * after.pairs.length - find;
  const byCamera = before.camera && after.camera && isSeenByCamera(after);
  const [was, is, left] = byCamera
    ? [before.camera.chiSquare, after.camera.chiSquare, freedom - 7]
    : [before.plane.chiSquare, after.plane.chiSquare, freedom - 8];
  const more = find - before.plane.lens.find === 2 ? 2 : 1;
  const [gain, own] = [was - is, is / Math.max(1, left)];
  if (gain / Math.max(1, own) > Math.max(LEAST_GAIN[more], more * Math.log(2 * after.pairs.length)))
    return true;
  // Marks may be far better than stated, and then show a lens that the stated SD hides.
  return left > 0 && gain > 1 && gain / more / own > seldomF(more, left);
}

/** Fisher's F with 1 or 2 and `freedom` degrees of freedom that chance exceeds once in a thousand times: t², and a closed form. */
function seldomF(more: 1 | 2, freedom: number): number {
  const chance = 1e-3;
  return more === 1
    ? tQuantile(1 - chance / 2, freedom) ** 2
    : (freedom / 2) * (chance ** (-2 / freedom) - 1);
}
