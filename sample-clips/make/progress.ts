/** How far along the lane the skater's mid-hip is: a standing start that tends to a top speed. */
import { root } from "./vec.ts";

/** Clip seconds before the first movement. */
export const STILL = 0.55;
/** Mid-hip at rest, lane x. The chest, which breaks the beam, is some 0.35 m ahead of it. */
const START_X = -0.78;

export interface Progress {
  x(t: number): number;
  speed(t: number): number;
  /** The moment mid-hip is at lane `x`. */
  timeAt(x: number): number;
}

function progress(topSpeed: number, tau: number): Progress {
  const moved = (t: number) => Math.max(0, t - STILL);
  const x = (t: number) => START_X + topSpeed * (moved(t) - tau * (1 - Math.exp(-moved(t) / tau)));
  return {
    x,
    speed: (t) => topSpeed * (1 - Math.exp(-moved(t) / tau)),
    timeAt: (place) => root((t) => x(t) - place, STILL, STILL + 12),
  };
}

/** The progress that takes `seconds` from the moment mid-hip is at `from` until it is at `to`. */
export function fitProgress(topSpeed: number, from: number, to: number, seconds: number): Progress {
  const takes = (tau: number) => {
    const p = progress(topSpeed, tau);
    return p.timeAt(to) - p.timeAt(from) - seconds;
  };
  return progress(topSpeed, root(takes, 0.2, 3));
}
