import { K95 } from "../../uncertainty/uncertain.ts";
import type { LensSummary, ScaleSummary } from "../types.ts";
import { ORDINARY_LENS } from "./fitCamera.ts";

/** A lens that other clips of one camera have shown, for those of its clips whose own ice points don't show it. */
export interface LearnedLens {
  readonly k1: number;
  readonly k2: number;
  readonly sdK1: number;
  /** With which zoom it was learned, and how well that is known (relative standard uncertainty). */
  readonly focalPx: number;
  readonly uFocal: number;
  /** Camera set-up or trial on which it was learned. */
  readonly from: string;
  /** By straight lines, so many: they tell the bend in pixels whatever the zoom is, and it stands here for `focalPx`; see `atFocal`. */
  readonly byLines?: number;
}

/** What straight lines tell of the lens, for a clip of that focal length and its relative standard uncertainty; null where that is no more than of any lens. */
export function atFocal(learned: LearnedLens, focalPx: number, uFocal: number): LearnedLens | null {
  if (learned.byLines === undefined) return learned;
  const square = (focalPx / learned.focalPx) ** 2;
  const k1 = learned.k1 * square;
  const sdK1 = Math.hypot(learned.sdK1 * square, 2 * k1 * uFocal);
  return sdK1 < ORDINARY_LENS
    ? { ...learned, k1, k2: learned.k2 * square ** 2, sdK1, focalPx, uFocal }
    : null;
}

/** Whether it has moved, by a better focal length, by so little that nothing is to be fitted again. */
export function isSettled(one: LearnedLens, other: LearnedLens): boolean {
  return Math.abs(one.k1 - other.k1) < 0.01 * one.sdK1;
}

/** A lens bends otherwise when it zooms: focal lengths further apart than so, and than they are known, are another zoom. [judgement] */
const SAME_ZOOM = 0.02;
/** Of one lens: focus and what is cut off the picture's edges change it a little from clip to clip. [judgement] */
const FROM_CLIP_TO_CLIP = 0.01;

/** Whether a camera looks through a learned lens as it was set then. */
export function isSameZoom({ focalPx, uFocal }: LearnedLens, its: number, u: number): boolean {
  return Math.abs(Math.log(its / focalPx)) < SAME_ZOOM + 2 * Math.hypot(uFocal, u);
}

/** Further apart, in standard deviations, than chance has it once in a thousand times: it is another lens, whatever the camera is called. */
const UNLIKE = 3.29;

/** How far a learned lens is from what a clip's own points say of theirs, in standard deviations. */
const apartFrom = (learned: LearnedLens, its: number, u: number) =>
  Math.abs(its - learned.k1) / Math.hypot(u, learned.sdK1);

/** Whether a clip's own points, which don't show their lens, may be seen through a learned one. @param u standard uncertainty of `its` k1 */
export function mayBe(learned: LearnedLens, its: number, u: number): boolean {
  return apartFrom(learned, its, u) <= UNLIKE;
}

/**
 * The learned lens for a clip whose own points show one less well, wider by as much as the two are further apart than they should be
 * (Birge's ratio [memory]); null where its own points know better, or it is another lens.
 *
 * @param its k1 by the clip's own points
 * @param u its standard uncertainty
 */
export function besideOwn(learned: LearnedLens, its: number, u: number): LearnedLens | null {
  const apart = apartFrom(learned, its, u);
  if (u <= learned.sdK1 || apart > UNLIKE) return null;
  return { ...learned, sdK1: learned.sdK1 * Math.max(1, apart) };
}

/** What a scale has learned of its lens; null where its ice points don't show it. */
export function lensLearned({ lens, camera }: ScaleSummary, from: string): LearnedLens | null {
  if (!lens || !("from" in lens) || lens.u95K1 === null || !camera) return null;
  if (lens.from !== "ice points" && lens.from !== "straight lines") return null;
  return {
    ...{ k1: lens.k1, k2: lens.k2, from },
    sdK1: Math.hypot(lens.u95K1 / K95, FROM_CLIP_TO_CLIP),
    focalPx: camera.focalPx,
    uFocal: zoomOf(camera)[1],
  };
}

/** A camera's focal length and its relative standard uncertainty. */
export function zoomOf({
  focalPx,
  u95FocalPx,
}: NonNullable<ScaleSummary["camera"]>): readonly [focalPx: number, uFocal: number] {
  return [focalPx, u95FocalPx / K95 / focalPx];
}

/** What is said of a learned lens once a clip's own points have been asked as well. */
export function learnedSummary(learned: LearnedLens, k1: number, u95K1: number): LensSummary {
  const { k2, byLines } = learned;
  if (byLines !== undefined) return { from: "straight lines", k1, k2, u95K1 };
  return { from: "set-up", k1, k2, u95K1, learnedOn: learned.from };
}
