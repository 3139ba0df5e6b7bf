import { GLIDES_FROM } from "../../priors.ts";
import type { Warning } from "../../reading.ts";
import type { StrideEvents } from "../trial/strideOrder.ts";
import type { Stride } from "../types.ts";

/** At least so many flights, in so large a share of the pushes. */
const FEWEST = 2;
const MOST = 2 / 3;
/** SD of one flight for the frames that were picked, frames (half a frame and slips of one in five, twice), and how many of it are no chance. */
const PICKED = 0.9;
const SURE = 4;

/**
 * Both blades in the air around nearly every push of a skater who glides. While gliding a blade comes down before the other
 * leaves, so this is what blade-offs and blade-ons that have changed places look like: the time that both were on the ice.
 * A start's first strides are run, with flights; they are left out where their speed is known.
 */
export function flightsThroughout(events: readonly StrideEvents[], strides: readonly Stride[]): Warning[] {
  const flights = events.slice(0, -1).flatMap((at, k) => {
    const next = events[k + 1]!;
    const speed = strides[k]?.alongTrackSpeed.value ?? null;
    const isRun = speed !== null && speed < GLIDES_FROM;
    return !at.on || next.side === at.side || isRun ? [] : [at.on.frame - next.off.frame];
  });
  const flown = flights.filter((frames) => frames >= 1).length;
  const mean = flights.reduce((sum, frames) => sum + frames, 0) / flights.length;
  const isChance = mean * Math.sqrt(flights.length) < SURE * PICKED;
  if (flights.length < FEWEST || flown < MOST * flights.length || isChance) return [];
  return [
    {
      code: "flights-throughout",
      text: `Around ${flown} of ${flights.length} pushes both blades would be in the air. Check whether blade-offs and blade-ons have changed places: blade-off is the last frame in which the pushing blade touches the ice.`,
    },
  ];
}
