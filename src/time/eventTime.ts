import type { ErrorShape } from "../uncertainty/uncertain.ts";

/**
 * When an event happened, seen from the frame picked for it.
 *
 * Blade-off is the LAST frame of contact: the blade left the ice somewhere in the interval after it.
 * Blade-on is the FIRST frame of contact: somewhere in the interval before it. The middle of the interval is
 * taken; the rest is a rectangle one frame wide and now and then a frame picked one too early or too late.
 */

/** Share of picked frames that are one frame off, either way alike: that of the simulated coach (docs/precision.md 1 and 6). */
export const SLIP_SHARE = 0.2;

/** Standard deviation of an event's time about the middle of its interval, frames. JCGM 100:2008 4.3.7 for the rectangle. */
export const EVENT_SD_FRAMES = Math.sqrt(1 / 12 + SLIP_SHARE);

/** How an event's time errs: flat over the frame, and with slips flat over the frames beside it. Not normal. */
export const EVENT_SHAPE: ErrorShape = {
  draw: (random) => {
    const r = random();
    const slip = r < SLIP_SHARE / 2 ? -1 : r < SLIP_SHARE ? 1 : 0;
    return (slip + random() - 0.5) / EVENT_SD_FRAMES;
  },
  fourth: (1 / 80 + SLIP_SHARE / 2 + SLIP_SHARE) / EVENT_SD_FRAMES ** 4 - 3,
  sixth: sixthCumulant(),
};

/** Of a rectangle and a slip together, by their moments (1/12, 1/80, 1/448; p, p, p), over the SD. */
function sixthCumulant(): number {
  const p = SLIP_SHARE;
  const [second, fourth, sixth] = [
    1 / 12 + p,
    1 / 80 + p / 2 + p,
    1 / 448 + (15 / 80) * p + (15 / 12) * p + p,
  ];
  return sixth / second ** 3 - (15 * fourth) / second ** 2 + 30;
}

/** The ways in which a frame is picked: the right one, one too early, one too late; frames from its interval's middle to the event's interval's. */
export const WAYS = [0, 1, -1] as const;
const SHARES = [1 - SLIP_SHARE, SLIP_SHARE / 2, SLIP_SHARE / 2] as const;
/** SD of a rectangle one frame wide, frames. */
export const HALF_FRAME_SD = Math.sqrt(1 / 12);

/**
 * A cause that goes along with how an event's frame was picked.
 *
 * @param means by way, as `slopes` on where the event lies in its interval (SD 1) and variances of the `rests`
 * @returns its root mean square, and its shape by the source of the event's time
 */
export function byWays(
  means: readonly number[],
  slopes: readonly number[],
  rests: readonly number[],
): { readonly sd: number; shapeOf(family: number): ErrorShape } {
  const sd = Math.sqrt(
    SHARES.reduce((sum, share, w) => sum + share * (means[w]! ** 2 + slopes[w]! ** 2 + rests[w]!), 0),
  );
  const ways = {
    shares: SHARES,
    means: means.map((m) => m / sd),
    slopes: slopes.map((s) => s / sd),
    rests: rests.map((r) => r / sd ** 2),
  };
  return {
    sd,
    shapeOf: (family) => ({ draw: null, fourth: 0, sixth: 0, ways: { family, ...ways } }),
  };
}

const BY_PICK = byWays(
  WAYS,
  WAYS.map(() => HALF_FRAME_SD),
  WAYS.map(() => 0),
);

/** How an event's time errs, of which other causes know. @param family the source's own number */
export function eventShape(family: number): ErrorShape {
  return { ...EVENT_SHAPE, ...BY_PICK.shapeOf(family), draw: EVENT_SHAPE.draw };
}

/** How the product of an event's error and a speed's errs that is normal: nothing for one of them is nothing of both. */
const TIMES_NORMAL = byWays(
  WAYS.map(() => 0),
  WAYS.map(() => 0),
  WAYS.map((e) => e * e + HALF_FRAME_SD ** 2),
);

/** @param family source of the event's time */
export function timesNormalShape(family: number): ErrorShape {
  return TIMES_NORMAL.shapeOf(family);
}

/** Half-width of the interval that holds 95 % of event times, frames: the rectangle, and as much of the slips as needed. */
export const EVENT_U95_FRAMES =
  SLIP_SHARE > 0.05 ? 0.5 + (SLIP_SHARE - 0.05) / SLIP_SHARE : 0.95 / (2 * (1 - SLIP_SHARE));

/** From the picked frame to the middle of the interval the event lies in, frames. */
export const EVENT_OFFSET_FRAMES = { blade_off: 0.5, blade_on: -0.5 } as const;
