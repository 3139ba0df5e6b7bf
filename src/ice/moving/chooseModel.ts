import { MeasureError } from "../../errors.ts";
import type { Lens } from "../../study/types.ts";
import { ORDINARY_LENS } from "../camera/fitCamera.ts";
import { atFocal, besideOwn, isSameZoom, isSettled, type LearnedLens, mayBe } from "../camera/learnedLens.ts";
import { reach } from "../camera/lens.ts";
import { usedRadius } from "../camera/lensUse.ts";
import { poorMisfit } from "../points/poorFit.ts";
import { notFound, undetermined } from "./checkMovingPoints.ts";
import { Effort, LENS_EFFORT, pointsIn, SEARCH_EFFORT } from "./effort.ts";
import {
  fitMovingCamera,
  layout,
  type MarkedFrames,
  type MovingFit,
  type MovingModel,
} from "./movingCamera.ts";
import { type Search, type Start, startsFromAround, startsFromFrames } from "./startMoving.ts";

/** Below this misfit (marking SD) one focal length explains all frames. */
const GOOD = 1.2;
/** Above this the minimum is a wrong one, or the points are. */
const HOPELESS = 3;
/** A lens coefficient must take this much off the misfit, in variances: chance does it once in a hundred times (chi-square, 1 degree of freedom). */
const LEAST_GAIN = 6.635;

/**
 * The simplest camera that explains the points: with one focal length or, where that clearly does not do, with
 * one for every frame; with the lens distortion that the points clearly show, or else what they leave open of it.
 *
 * @param learned the lens that other clips of the same camera have shown
 * @param effort of the search for camera and zoom; what it would take is known only while the points belong together
 * @throws {MeasureError} `ice-points-mirrored`, `moving-camera-undetermined`, `moving-camera-not-found`
 */
export function chooseModel(
  marked: MarkedFrames,
  lens: Lens | null,
  learned: LearnedLens | null = null,
  effort = new Effort(SEARCH_EFFORT * pointsIn(marked.frames)),
): MovingFit {
  const { frames } = marked;
  const search = { ...marked, lens };
  const plain = chooseZoom(search, effort);
  if (lens) return plain;
  const forLens = new Effort(LENS_EFFORT * pointsIn(frames));
  const one = fitWithLens(search, plain, 1, forLens);
  if (!one || !paysForLens(plain, one)) {
    const its = learned && ofFit(learned, plain);
    const known = its && (!one || mayBe(its, one.lens.k1, sdOfLens(one))) ? its : null;
    return fitUnseenLens(search, plain, known, learned) ?? plain;
  }
  const two = fitWithLens(search, one, 2, forLens);
  if (two && paysForLens(one, two)) return two;
  const its = learned && ofFit(learned, one);
  const beside = its && besideOwn(its, one.lens.k1, sdOfLens(one));
  const both = beside && fitUnseenLens(search, plain, beside);
  return both?.model.lensPrior?.learned ? both : one;
}

/** Standard uncertainty of k1 where it was found. */
export function sdOfLens({ model, spread }: MovingFit): number {
  return Math.hypot(...spread.shared.getRow(layout(model).lens));
}

function chooseZoom(search: Omit<Search, "zooms">, effort: Effort): MovingFit {
  const fixed = bestFit({ ...search, zooms: false }, effort);
  if (fixed && (fixed.freedom <= 0 || misfitOf(fixed) <= GOOD)) return fixed;
  // Of a camera that zooms one focal length leads nowhere, at length: that must not keep the zoom from being found.
  const forZoom = effort.again();
  const zooming = bestFit({ ...search, zooms: true }, forZoom);
  if (!fixed && !zooming) throw effort.isSpent || forZoom.isSpent ? notFound() : undetermined();
  if (!fixed) return zooming!;
  return zooming && paysForZoom(fixed, zooming) ? zooming : fixed;
}

/**
 * The best of the joint fits from several starts (a wrong one can end in a wrong minimum), and from there with the principal
 * point as well.
 */
function bestFit(search: Search, effort: Effort): MovingFit | null {
  const model = {
    zooms: search.zooms,
    findsCentre: false,
    lens: search.lens ?? { k1: 0 },
    findLens: 0,
    ...(search.slant && { rolls: true }),
  } as const;
  const best = bestCentred(search, model, effort);
  const whole = best && fitMovingCamera(search, best.cameras, { ...model, findsCentre: true }, effort);
  return whole && isReal(whole) ? whole : best;
}

function bestCentred(search: Search, model: MovingModel, effort: Effort): MovingFit | null {
  let best: MovingFit | null = null;
  let refusal: MeasureError | null = null;
  // Two starts that end at one place end at the place.
  let agreed = false;
  const tryAll = (starts: readonly Start[]) => {
    for (const start of starts) {
      if (agreed || effort.isSpent || (best && misfitOf(best) <= poorMisfit(best.freedom))) return;
      const fit = fitMovingCamera(search, start, model, effort);
      if (!fit || !isReal(fit)) continue;
      agreed = best !== null && Math.abs(fit.chiSquare - best.chiSquare) < 1e-5 * best.chiSquare;
      if (!best || fit.chiSquare < best.chiSquare) best = fit;
    }
  };
  try {
    tryAll(startsFromFrames(search));
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    refusal = error;
  }
  if (!effort.isSpent && (!best || (!agreed && misfitOf(best) > HOPELESS))) tryAll(startsFromAround(search));
  if (refusal && (!best || misfitOf(best) > HOPELESS)) throw refusal;
  return best;
}

/** Above the ice. */
function isReal(fit: MovingFit): boolean {
  return fit.cameras.every((c) => c.z > 0 && Number.isFinite(c.focalPx));
}

/**
 * Where the points don't show the lens, or less well: through that which other clips of this camera have shown at the same zoom, or else one that
 * is as open as ordinary ones are. Null where that can't be fitted.
 */
function fitUnseenLens(
  search: Omit<Search, "zooms">,
  plain: MovingFit,
  learned: LearnedLens | null,
  lines: LearnedLens | null = null,
): MovingFit | null {
  const effort = new Effort(LENS_EFFORT * pointsIn(search.frames));
  let known = learned && isOfZoom(learned, plain) ? learned : null;
  let fit: MovingFit | null = null;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const model: MovingModel = {
      ...plain.model,
      lens: known ? { k1: known.k1, k2: known.k2 } : { k1: 0 },
      findLens: 1,
      lensPrior: known ? { k1: known.k1, sd: known.sdK1, learned: known } : { k1: 0, sd: ORDINARY_LENS },
    };
    const next = fitMovingCamera(search, (fit ?? plain).cameras, model, effort);
    if (!next) return fit;
    fit = next;
    // Of lines the focal length says what their bend comes to, and the bend what the focal length is.
    const nearer = known?.byLines !== undefined && lines ? ofFit(lines, fit) : null;
    if (!nearer || isSettled(nearer, known!)) break;
    known = nearer;
  }
  return fit;
}

const MOST_ROUNDS = 8;

/** As a learned lens is at a fit's focal length. */
function ofFit(learned: LearnedLens, fit: MovingFit): LearnedLens | null {
  return atFocal(learned, fit.cameras[0]!.focalPx, focalDoubt(fit));
}

/** Whether it is the lens of a camera that did not zoom, as it was set then. */
function isOfZoom(learned: LearnedLens, fit: MovingFit): boolean {
  return !fit.model.zooms && isSameZoom(learned, fit.cameras[0]!.focalPx, focalDoubt(fit));
}

/** Relative standard uncertainty of the focal length, where it does not zoom. */
export function focalDoubt({ model, spread }: MovingFit): number {
  return model.zooms ? 0 : Math.hypot(...spread.shared.getRow(0));
}

function fitWithLens(
  search: Omit<Search, "zooms">,
  before: MovingFit,
  findLens: 1 | 2,
  effort: Effort,
): MovingFit | null {
  const model: MovingModel = { ...before.model, lens: before.lens, findLens };
  const step = fitMovingCamera(search, before.cameras, model, effort, "one step");
  if (!step || before.chiSquare - step.chiSquare < LEAST_GAIN / 2) return null;
  const fit = fitMovingCamera(search, before.cameras, model, effort);
  const least = Math.min(...before.cameras.map((c) => c.focalPx));
  const used = usedRadius(
    search.frames.flatMap((f) => f.points),
    search.picture,
  );
  return fit && reach(fit.lens) > used / least ? fit : null;
}

/** In marking SD; 0 where the points fit exactly whatever they are. */
export function misfitOf(fit: MovingFit): number {
  return fit.freedom > 0 ? Math.sqrt(fit.chiSquare / fit.freedom) : 0;
}

/** Variance of an observation, in squares of its stated SD, as the better fit leaves it. */
function unitOf(fit: MovingFit): number {
  return Math.max(1, misfitOf(fit)) ** 2;
}

function paysForLens(before: MovingFit, after: MovingFit): boolean {
  const gain = (before.chiSquare - after.chiSquare) / unitOf(after);
  return gain > Math.max(LEAST_GAIN, Math.log(after.observations));
}

/**
 * Whether a focal length for every frame is worth its parameters, by Schwarz's criterion, even without the
 * frame that gains most: one bad mark is no zoom.
 *
 * @see Schwarz (1978), Annals of Statistics 6, 461-464
 */
function paysForZoom(fixed: MovingFit, zooming: MovingFit): boolean {
  if (zooming.freedom < 0) return false;
  const gains = fixed.chiSquares.map((c, k) => c - zooming.chiSquares[k]!);
  const gain = gains.reduce((a, b) => a + b, 0) - Math.max(...gains);
  return gain / unitOf(zooming) > (fixed.freedom - zooming.freedom) * Math.log(fixed.observations);
}
