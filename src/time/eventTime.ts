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

/*
 * For how long the blade has been (or will be) off the ice in the picked frame, frames: nothing where the event lies in its
 * interval, 0 to 1 where the frame was picked one beside it, away from the contact. It goes along with the event's time: a straight line
 * in it and a rest, by the moments of both.
 */
const AWAY = SLIP_SHARE / 2;

/** Slope of that line: frames off the ice for each frame by which the event was picked too far from the contact. */
export const AIRBORNE_BY_DELAY = (AWAY * (1 / 2 + 1 / 12)) / EVENT_SD_FRAMES ** 2;

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

/** The rest beside the line, as three rectangles: [share, middle, width]. In the contact's own interval, beside it, and away from it. */
const REST = (() => {
  const slope = AIRBORNE_BY_DELAY;
  return [
    [1 - SLIP_SHARE, -AWAY / 2, slope],
    [AWAY, slope - AWAY / 2, slope],
    [AWAY, 1 / 2 - AWAY / 2 - slope, 1 - slope],
  ] as const;
})();
const REST_SECOND = moment(2);

/** Standard deviation of the rest, frames. */
export const AIRBORNE_SD_FRAMES = Math.sqrt(REST_SECOND);

/** How the rest errs, to both sides alike. */
export const AIRBORNE_SHAPE: ErrorShape = {
  draw: (random) => {
    const r = random();
    const [, middle, width] = REST[r < REST[0][0] ? 0 : r < 1 - AWAY ? 1 : 2]!;
    const rest = middle + width * (random() - 0.5);
    return ((random() < 0.5 ? -1 : 1) * rest) / AIRBORNE_SD_FRAMES;
  },
  fourth: moment(4) / REST_SECOND ** 2 - 3,
  sixth: moment(6) / REST_SECOND ** 3 - (15 * moment(4)) / REST_SECOND ** 2 + 30,
};

function moment(order: 2 | 4 | 6): number {
  return REST.reduce((sum, [share, c, w]) => {
    const one =
      order === 2
        ? c ** 2 + w ** 2 / 12
        : order === 4
          ? c ** 4 + c ** 2 * (w ** 2 / 2) + w ** 4 / 80
          : c ** 6 + (15 / 12) * c ** 4 * w ** 2 + (15 / 80) * c ** 2 * w ** 4 + w ** 6 / 448;
    return sum + share * one;
  }, 0);
}

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

/** Half-width of the interval that holds 95 % of event times, frames: the rectangle, and as much of the slips as needed. */
export const EVENT_U95_FRAMES =
  SLIP_SHARE > 0.05 ? 0.5 + (SLIP_SHARE - 0.05) / SLIP_SHARE : 0.95 / (2 * (1 - SLIP_SHARE));

/** From the picked frame to the middle of the interval the event lies in, frames. */
export const EVENT_OFFSET_FRAMES = { blade_off: 0.5, blade_on: -0.5 } as const;
