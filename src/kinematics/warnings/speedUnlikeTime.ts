import type { Warning } from "../../reading.ts";
import { mean } from "../../statistics/mean.ts";
import { formatNumber } from "../../uncertainty/format.ts";
import { sprintOf } from "../speed/timedSprint.ts";
import type { GateSprint, Stride } from "../types.ts";

/** Time constants of a sprint from rest, s: from hardly to be seen to slower than anybody's. [judgement] */
const TAUS = [0.3, 0.6, 1, 1.5, 2.5];
/** What a skater's speed may be beside such a curve, as shares: pushes, a tired end, gates a little off. [judgement] */
const SLOWEST = 0.75;
const FASTEST = 1.35;
/** Fewer strides with a speed and a place say nothing. */
const ENOUGH = 3;
/** Metres behind the last gate in which nobody slows down much yet. [judgement] */
const BEYOND = 3;

/**
 * Speed along the lane against the time between the gates: where blades come along a half faster, or a third slower, than any
 * sprint with this time has it there, the scale is another camera's. Told where only somebody's look says that the scale holds.
 *
 * @see sprintCurve for v = vmax (1 − exp(−t/τ))
 */
export function speedUnlikeTime(strides: readonly Stride[], timed: GateSprint | undefined): Warning[] {
  if (!timed?.byLook) return [];
  const known = strides.flatMap(({ off, alongTrackSpeed: { value } }) =>
    off && value !== null ? [{ x: off.x, speed: value }] : [],
  );
  if (known.length < ENOUGH) return [];
  const [x, speed] = [mean(known.map((k) => k.x)), mean(known.map((k) => k.speed))];
  if (timed.start !== "flying" && x < 0) return [];
  if (x > timed.gates[1] + BEYOND) return [];
  const speeds = possibleSpeeds(timed, x);
  const [least, most] = [SLOWEST * Math.min(...speeds), FASTEST * Math.max(...speeds)];
  if (speed >= least && speed <= most) return [];
  return [
    {
      code: "speed-unlike-time",
      text: `By this scale the skater goes at ${formatNumber(speed, 1)} m/s about ${formatNumber(x, 0)} m along the lane; a sprint with this time between the gates has ${formatNumber(least, 1)} to ${formatNumber(most, 1)} m/s there. The clip was probably not filmed as the others of its camera set-up: compare the backgrounds, or mark its own ice points. Else check the time and the speed factor.`,
    },
  ];
}

/** Speeds at a place of sprints that have this time, of every time constant, and of a steady one. */
function possibleSpeeds(timed: GateSprint, x: number): number[] {
  const { seconds, gates, start } = timed;
  const steady = (gates[1] - gates[0]) / seconds;
  if (start === "flying") return [steady];
  const fromRest = TAUS.map((tau) => sprintOf(timed, tau)(x));
  return start === "standing" ? fromRest : [...fromRest, steady];
}
