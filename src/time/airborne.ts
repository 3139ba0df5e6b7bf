import type { ErrorShape } from "../uncertainty/uncertain.ts";
import { byWays, EVENT_SD_FRAMES, HALF_FRAME_SD, SLIP_SHARE, WAYS } from "./eventTime.ts";

/*
 * For how long the blade has been (or will be) off the ice in the picked frame, frames: nothing where the event lies in its
 * interval, 0 to 1 where the frame was picked one beside it, away from the contact. So it is told by the event's error: what of it
 * is beyond half a frame, away from the contact. In a straight line it is a slope times that error, and a rest.
 */

/** Slope of that line: frames off the ice for each frame by which the event was picked too far from the contact. */
export const AIRBORNE_BY_DELAY = ((SLIP_SHARE / 2) * (1 / 2 + 1 / 12)) / EVENT_SD_FRAMES ** 2;

/** Frames off the ice. @param away by how many frames the event was picked away from the contact */
export function airborneFrames(away: number): number {
  return Math.max(0, away - 1 / 2);
}

/** The square of the frames off the ice for each of them, frames: those who have been longest in the air count most. */
export const AIRBORNE_SPAN = 1 / 4 / (1 / 3);

/** How the rest beside the line errs. */
export interface AirborneRest {
  /** Its root mean square, frames. */
  readonly sd: number;
  /** @param family source of the event's time */
  shapeOf(family: number): ErrorShape;
}

/**
 * The rest of the line, and what comes of not knowing how fast what goes on meanwhile is.
 *
 * @param away the sign of the event's error where its frame shows the blade off the ice: -1 earlier than picked, +1 later
 * @param doubt standard uncertainty of that speed, as a share of it
 */
export function airborneRest(away: 1 | -1, doubt: number): AirborneRest {
  // Half a frame in the middle of the one way that has any, and as much more as the event's own error within its interval says.
  const inAir = WAYS.map((e) => (e === away ? 1 : 0));
  const means = WAYS.map((e, w) => inAir[w]! / 2 - AIRBORNE_BY_DELAY * away * e);
  const slopes = WAYS.map((_, w) => away * (inAir[w]! - AIRBORNE_BY_DELAY) * HALF_FRAME_SD);
  const rests = WAYS.map((_, w) => inAir[w]! * doubt ** 2 * (1 / 4 + 1 / 12));
  return byWays(means, slopes, rests);
}
