import type { ScaleSummary } from "../../ice/types.ts";
import { SLOWEST_SOUND, SOUND_TO_PICTURE_U, WIDEST_APART } from "../../priors.ts";
import type { KnownClock } from "../clock/saidClock.ts";
import { CLOCK_RATE_U } from "../clock/tieClock.ts";
import type { LagFound } from "./soundLag.ts";

/** How a view's clock lies to the first one's by what both hear; its rate by the tracks' beginning and end, null = they are too short to tell. */
export interface HeardClock extends KnownClock {
  /** Metres that the cameras may be apart, and whether both their places are known. */
  readonly apart: number;
  readonly placesKnown: boolean;
}

/** What the sound says, or why it says nothing. */
export type Heard = HeardClock | { readonly offset: null; readonly why: string };

/** What is known of a view before its sound is taken for its clock. */
export interface Listener {
  readonly camera: ScaleSummary["camera"];
  readonly speedFactor: number;
}

/**
 * What a lag of two tracks says of two clocks. Where the sound came from is not known, so each camera may have heard it later than the
 * other by as long as sound takes between them; and each clip's sound may lie beside its pictures.
 *
 * @param found null = nobody listened
 */
export function heardClock(found: LagFound | null, first: Listener, own: Listener): Heard | null {
  if (!found) return null;
  if (first.speedFactor !== 1 || own.speedFactor !== 1)
    return {
      offset: null,
      why: "a clip plays slower or faster than life, and how its sound was kept is not known",
    };
  if (!found.lag) return { offset: null, why: found.why };
  const { offset, sd, at, rate } = found.lag;
  const places = first.camera && own.camera ? farthestApart(first.camera, own.camera) : null;
  const apart = places ?? WIDEST_APART;
  const longest = apart / SLOWEST_SOUND;
  // Flat from one to the other, JCGM 100:2008 4.3.7. What agrees is spread by just these delays, so the larger counts.
  const delay = Math.max(sd, longest / Math.sqrt(3));
  const u = Math.hypot(delay, Math.SQRT2 * SOUND_TO_PICTURE_U);
  return {
    ...{ offset, u, at, by: "sound", apart, placesKnown: places !== null },
    // Who skates from one camera to the other changes the delay by twice the longest.
    rate: rate && {
      value: rate.value,
      u: Math.hypot(rate.sd, (2 * longest) / Math.sqrt(3) / rate.seconds),
    },
  };
}

type Camera = NonNullable<ScaleSummary["camera"]>;

/** Metres that two cameras are apart at most: as they are placed, and as far off as their ± allow. */
function farthestApart(a: Camera, b: Camera): number {
  return Math.hypot(a.x - b.x, a.y - b.y, a.height - b.height) + Math.hypot(...a.u95Place, ...b.u95Place);
}

/** An offset by events so many standard uncertainties from the one by sound is another answer. */
export const AS_HEARD = 3;

/** An offset by events: about when these were, seconds of the view's own clock, and its standard uncertainty. */
interface ByEvents {
  readonly offset: number;
  readonly at: number;
  readonly u: number;
}

/** Whether an offset by events may be the one that is heard or was said. */
export function isAsHeard({ offset, at, u: own }: ByEvents, known: KnownClock): boolean {
  const u = Math.hypot(known.u, own, CLOCK_RATE_U * (at - known.at));
  return Math.abs(offset - known.offset) <= AS_HEARD * u;
}

/** Seconds: strides of one foot take twice as long, so offsets that lie within this are of the same strides. [judgement] */
const TELLS_STRIDES = 0.3;

export function tellsStrides({ u }: KnownClock): boolean {
  return AS_HEARD * u <= TELLS_STRIDES;
}
