/**
 * When an event happened, seen from the frame picked for it.
 *
 * Blade-off is the LAST frame of contact: the blade left the ice somewhere in the interval after it.
 * Blade-on is the FIRST frame of contact: somewhere in the interval before it. The middle of the interval is
 * taken; the rest is a rectangle one frame wide and now and then a frame picked one too early or too late.
 */

/** Share of picked frames that are one frame off, either way alike. [judgement, between none for a careful eye and the 20 % of the simulated coach] */
export const SLIP_SHARE = 0.1;

/** Standard deviation of an event's time about the middle of its interval, frames. JCGM 100:2008 4.3.7 for the rectangle. */
export const EVENT_SD_FRAMES = Math.sqrt(1 / 12 + SLIP_SHARE);

/** Half-width of the interval that holds 95 % of event times, frames: the rectangle, and as much of the slips as needed. */
export const EVENT_U95_FRAMES =
  SLIP_SHARE > 0.05 ? 0.5 + (SLIP_SHARE - 0.05) / SLIP_SHARE : 0.95 / (2 * (1 - SLIP_SHARE));

/** From the picked frame to the middle of the interval the event lies in, frames. */
export const EVENT_OFFSET_FRAMES = { blade_off: 0.5, blade_on: -0.5 } as const;
