import { MeasureError } from "../../errors.ts";
import { capital } from "../../words.ts";
import { poorMisfit } from "./poorFit.ts";

/** The fit without one of its points (or one frame's points), and what it says of them. */
export interface Without {
  /** "P3", "P3 on frame 40". */
  readonly name: string;
  /** How far the left-out point is from where the others put it, px. */
  readonly offPx: number;
  /** Of the rest: root mean square distance in px. */
  readonly restPx: number;
  readonly restChiSquare: number;
  /** Degrees of freedom. */
  readonly restFreedom: number;
}

/** Two candidates whose chi-squares differ by less are not told apart (odds of 20 to 1). */
export const TELLS_APART = 2 * Math.log(20);

/** The sentence a coach reads, and the names in it, the likelier first. */
export interface Blamed {
  readonly text: string;
  readonly names: readonly string[];
}

/**
 * Which point is to blame for a poor fit; null when leaving out no single one mends it, or too many of them do.
 *
 * @param candidates each tried in turn; null where the rest give no fit
 */
export function blame(candidates: readonly (Without | null)[]): Blamed | null {
  const mended = candidates
    .filter((c): c is Without => c !== null && agree(c))
    .sort((a, b) => a.restChiSquare - b.restChiSquare);
  const [best, second, third] = mended.filter(
    (c) => c.restChiSquare - mended[0]!.restChiSquare < TELLS_APART,
  );
  if (!best || third) return null;
  const rest = `without it the fit is ${best.restPx.toFixed(1)} px`;
  const off = ({ offPx }: Without) => `${offPx.toFixed(offPx < 10 ? 1 : 0)} px`;
  if (!second)
    return { text: `${capital(best.name)} disagrees by ${off(best)}; ${rest}.`, names: [best.name] };
  return {
    text: `${capital(best.name)} disagrees by ${off(best)}, or else ${second.name} by ${off(second)}; ${rest}.`,
    names: [best.name, second.name],
  };
}

function agree({ restChiSquare, restFreedom }: Without): boolean {
  return restChiSquare <= restFreedom * poorMisfit(restFreedom) ** 2 || restFreedom <= 0;
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
