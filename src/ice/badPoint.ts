import { MeasureError } from "../errors.ts";

/** The fit without one of its points (or one frame's points), and what it says of them. */
export interface Without {
  /** "P3", "P3 on frame 40". */
  readonly name: string;
  /** How far the left-out point is from where the others put it, px. */
  readonly offPx: number;
  /** Of the rest: root mean square distance in px, and its misfit in marking SD. */
  readonly restPx: number;
  readonly restMisfit: number;
  readonly restChiSquare: number;
}

/** Misfit over which points are said to disagree, marking SD. */
export const POOR = 1.4;
/** Two candidates whose chi-squares differ by less are not told apart (odds of 20 to 1). */
const TELLS_APART = 2 * Math.log(20);

/**
 * Which point is to blame for a poor fit, as the sentence a coach reads; null when leaving out none of them
 * mends it.
 *
 * @param candidates each tried in turn; null where the rest give no fit
 */
export function blame(
  candidates: readonly (Without | null)[],
): { readonly text: string; readonly names: readonly string[] } | null {
  const mended = candidates
    .filter((c): c is Without => c !== null && c.restMisfit <= POOR)
    .sort((a, b) => a.restChiSquare - b.restChiSquare);
  const best = mended[0];
  if (!best) return null;
  const alike = mended.filter((c) => c.restChiSquare - best.restChiSquare < TELLS_APART);
  if (alike.length > 2) return null;
  const names = alike.map((c) => c.name);
  const rest = `without it the fit is ${best.restPx.toFixed(1)} px`;
  if (alike.length === 2) {
    return {
      text: `${names[0]} or ${names[1]} disagrees by ${best.offPx.toFixed(0)} px or ${alike[1]!.offPx.toFixed(0)} px; ${rest}.`,
      names,
    };
  }
  return {
    text: `${best.name} disagrees by ${best.offPx.toFixed(best.offPx < 10 ? 1 : 0)} px; ${rest}.`,
    names,
  };
}

/** A fit that is refused for want of points, or whatever else is wrong with it, is no fit. */
export function fitOrNull<T>(make: () => T): T | null {
  try {
    return make();
  } catch (error) {
    if (error instanceof MeasureError) return null;
    throw error;
  }
}
