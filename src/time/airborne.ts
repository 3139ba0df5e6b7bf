import type { ErrorShape } from "../uncertainty/uncertain.ts";
import { EVENT_SD_FRAMES, SLIP_SHARE } from "./eventTime.ts";

/*
 * For how long the blade has been (or will be) off the ice in the picked frame, frames: nothing where the event lies in its
 * interval, 0 to 1 where the frame was picked one beside it, away from the contact. It goes along with the event's time: a straight line
 * in it and a rest, by the moments of both.
 */
const AWAY = SLIP_SHARE / 2;

/** Slope of that line: frames off the ice for each frame by which the event was picked too far from the contact. */
export const AIRBORNE_BY_DELAY = (AWAY * (1 / 2 + 1 / 12)) / EVENT_SD_FRAMES ** 2;

/** The rest beside the line, as three rectangles: [share, middle, width]. In the contact's own interval, beside it, and away from it. */
const REST = (() => {
  const slope = AIRBORNE_BY_DELAY;
  return [
    [1 - SLIP_SHARE, -AWAY / 2, slope],
    [AWAY, slope - AWAY / 2, slope],
    [AWAY, 1 / 2 - AWAY / 2 - slope, 1 - slope],
  ] as const;
})();

/** Moments about 0 of a rectangle of a middle and a width, by order. */
const MOMENTS = {
  2: (c: number, w: number) => c ** 2 + w ** 2 / 12,
  4: (c: number, w: number) => c ** 4 + c ** 2 * (w ** 2 / 2) + w ** 4 / 80,
  6: (c: number, w: number) =>
    c ** 6 + (15 / 12) * c ** 4 * w ** 2 + (15 / 80) * c ** 2 * w ** 4 + w ** 6 / 448,
} as const;

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

function moment(order: keyof typeof MOMENTS): number {
  return REST.reduce((sum, [share, middle, width]) => sum + share * MOMENTS[order](middle, width), 0);
}
