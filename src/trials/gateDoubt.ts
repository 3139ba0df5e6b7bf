import type { PlacedPoint } from "../kinematics/types.ts";
import { lengthText } from "../study/length.ts";
import type { GatePassing, Lane, TrialMarks } from "../study/types.ts";

/** Faster than anyone skates, m/s (common practice, no source: long-track sprinters reach some 17 m/s). */
const FASTEST = 18;
/** The front of the skater, where the beam is broken, may be so far from the blades and hips that are marked, metres. */
const FRONT = 1.5;

/**
 * Whether the skater can pass a gate in the frame picked for it, given where the marks put them in other frames: a
 * sprint goes forward only, and no faster than a person skates.
 *
 * @param marks of the trial; they tell the time of each frame
 * @param places as measured, metres along the lane
 * @returns a sentence for the coach, or null when nothing speaks against it
 */
export function gateDoubt(
  { gate, frame, time }: GatePassing,
  { marks }: Pick<TrialMarks, "marks">,
  places: readonly PlacedPoint[],
  speedFactor: number,
  unit: Lane["unit"],
): string | null {
  const times = new Map(marks.map((m) => [m.frame, m.time]));
  const impossible = places
    .filter(({ point }) => point === "blade" || point === "mid_hip")
    .flatMap(({ frame: at, x }) => {
      const marked = times.get(at);
      if (marked === undefined) return [];
      const seconds = (marked - time) / speedFactor;
      const ahead = seconds < 0 ? gate - x : x - gate;
      const most = FASTEST * Math.abs(seconds) + FRONT;
      const beyond = Math.max(ahead - most, -FRONT - ahead);
      return beyond > 0 ? [{ at, x, seconds, beyond }] : [];
    });
  // The frame nearest in time says it most plainly.
  const [plainest] = impossible.sort((a, b) => Math.abs(a.seconds) - Math.abs(b.seconds));
  if (!plainest) return null;
  const [there, here] = [plainest.x, gate].map((x) => lengthText(Number(x.toFixed(1)), unit));
  const when =
    plainest.at === frame
      ? "in this same frame"
      : `${Math.abs(plainest.seconds).toFixed(2)} s ${plainest.seconds < 0 ? "before" : "after"} it`;
  return `The marks put the skater at ${there} ${when} (frame ${plainest.at}), so this can't be the gate at ${here}. Look at the frame again, or at the scale of the ice.`;
}
