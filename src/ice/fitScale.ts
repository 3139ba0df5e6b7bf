import { MeasureError } from "../errors.ts";
import type { IceReference, Lens, Picture } from "../study/types.ts";
import type { FittedScale } from "./camera/ground.ts";
import { lengthScale } from "./lengths/lengthScale.ts";
import type { FollowedReference } from "./moving/follow/background.ts";
import { movingScale } from "./moving/movingScale.ts";
import { pointScale } from "./points/pointScale.ts";
import { BY_WORD } from "./setup/clipDoubts.ts";
import type { SetupReference } from "./setup/setupClips.ts";
import { setupScale } from "./setup/setupScale.ts";

/** What a scale is fitted to: one clip's own ice reference, or the clips of its camera set-up. */
export type ScaleReference = IceReference | SetupReference | FollowedReference;

/**
 * Scale of the ice from an ice reference.
 *
 * Ice points: maximum-likelihood homography from the normalised direct linear transform, its covariance
 * carried into every reading; focal length, direction and place of the camera from the plane, with square
 * pixels and the principal point in the picture's centre.
 *
 * Ice points by frame: the tripod's place and focal length from all frames together; see `movingScale`.
 *
 * A camera set-up: one place and lens for all its clips, and a turn of each; see `setupScale`.
 *
 * Known lengths: the scale across the lane, linear in the picture's row; see `lengthScale`.
 *
 * @param picture size as displayed, px
 * @param markSdPx standard uncertainty of a mark per coordinate, px, where a point has none of its own
 * @param lens overrides the reference's own
 * @throws {MeasureError} where the reference is refused; `checkIcePoints`, `checkKnownLengths` and the two fits list the codes
 */
export function fitScale(
  reference: ScaleReference,
  picture: Picture,
  markSdPx: number,
  lens?: Lens,
): FittedScale {
  checkMarkSd(markSdPx);
  // The same reference is asked for again with every mark that moves.
  const key = `${picture.width} ${picture.height} ${markSdPx} ${lens?.k1} ${lens?.k2}`;
  const known = remembered.get(reference);
  const found = known?.key === key ? known.found : fittedOrRefused(reference, picture, markSdPx, lens);
  remembered.set(reference, { key, found });
  if (found instanceof MeasureError) throw found;
  return found;
}

const remembered = new WeakMap<
  ScaleReference,
  { readonly key: string; readonly found: FittedScale | MeasureError }
>();

/** What is refused is remembered as well: to find that out may have taken longest. */
function fittedOrRefused(
  reference: ScaleReference,
  picture: Picture,
  markSdPx: number,
  lens: Lens | undefined,
): FittedScale | MeasureError {
  try {
    return withOrigin(reference, fitted(reference, picture, markSdPx, lens));
  } catch (error) {
    if (error instanceof MeasureError) return error;
    throw error;
  }
}

/** The fit tells how the points agree on the clip they were put on, and nothing of this one. */
function withOrigin(reference: ScaleReference, scale: FittedScale): FittedScale {
  if (reference.kind === "set-up") return scale;
  const { copiedFrom } = reference.kind === "followed" ? reference.reference : reference;
  if (copiedFrom === undefined) return scale;
  const warnings = [BY_WORD, ...scale.summary.warnings];
  return { ...scale, unprovenWhy: BY_WORD.text, summary: { ...scale.summary, warnings } };
}

function fitted(
  reference: ScaleReference,
  picture: Picture,
  markSdPx: number,
  lens: Lens | undefined,
): FittedScale {
  if (reference.kind === "set-up") return setupScale(reference, picture, markSdPx, lens);
  if (reference.kind === "known-lengths") {
    const scale = lengthScale(reference.lengths, picture, markSdPx);
    return lens ? { ...scale, summary: { ...scale.summary, lens: LENS_UNUSED } } : scale;
  }
  if (reference.kind === "followed") {
    const { frames, lens: own, readoutShare } = reference.reference;
    const { motion, learned } = reference;
    return movingScale(frames, picture, markSdPx, lens ?? own, { motion, learned, readoutShare });
  }
  if (reference.kind === "ice-points-by-frame") {
    return movingScale(reference.frames, picture, markSdPx, lens ?? reference.lens);
  }
  return pointScale(reference, picture, markSdPx, lens ?? reference.lens);
}

const LENS_UNUSED = {
  value: null,
  why: "Known lengths make no use of the lens: it bends them as it does the marks beside them, and widths change by less than a third of their ±. Ice points use it.",
} as const;

/** Beyond any picture: nothing could be told from such marks. */
const MOST_MARK_SD = 1e5;

/** @throws {MeasureError} `bad-mark-sd` unless it is a positive number of pixels */
export function checkMarkSd(markSdPx: number): void {
  if (markSdPx > 0 && markSdPx <= MOST_MARK_SD) return;
  throw new MeasureError(
    "bad-mark-sd",
    `checkMarkSd requires a marking SD above 0 and up to ${MOST_MARK_SD} px; got ${markSdPx}`,
    "The marking SD must be a positive number of pixels, less than a picture is wide, for example 1.5.",
    { markSdPx },
  );
}
