import type { Warning } from "../../src/reading.ts";
import { mean } from "../../src/statistics/mean.ts";
/** Times of frames that the marks do not name, from those that they do. */
export interface FrameClock {
  /** Clip time of a frame, seconds; null when nothing says it. */
  timeOf(frame: number): number | null;
  /** What should be said about the times that were asked for. */
  warnings(): Warning[];
}

/**
 * Reads a marked frame's own time; between marked frames along the line through its neighbours; outside of them along
 * the least-squares line through all, which is said.
 */
export function frameClock(marks: readonly { readonly frame: number; readonly time: number }[]): FrameClock {
  const known = new Map(marks.map((m) => [m.frame, m.time]));
  const frames = [...known.keys()].sort((a, b) => a - b);
  const outside = new Set<number>();

  function between(frame: number): number | null {
    const after = frames.findIndex((f) => f > frame);
    if (after <= 0) return null;
    const [a, b] = [frames[after - 1]!, frames[after]!];
    const [ta, tb] = [known.get(a)!, known.get(b)!];
    return ta + ((frame - a) / (b - a)) * (tb - ta);
  }

  function along(frame: number): number | null {
    if (frames.length < 2) return null;
    const f0 = mean(frames);
    const t0 = mean(frames.map((f) => known.get(f)!));
    const across = frames.reduce((sum, f) => sum + (f - f0) * (known.get(f)! - t0), 0);
    const spread = frames.reduce((sum, f) => sum + (f - f0) ** 2, 0);
    const time = t0 + (across / spread) * (frame - f0);
    // Before the clip's first frame there is nothing.
    return time < 0 ? null : time;
  }

  return {
    timeOf(frame) {
      const time = known.get(frame) ?? between(frame);
      if (time !== null) return time;
      const extended = along(frame);
      if (extended !== null) outside.add(frame);
      return extended;
    },
    warnings() {
      if (outside.size === 0) return [];
      const list = [...outside].sort((a, b) => a - b).join(", ");
      return [
        {
          code: "time-extrapolated",
          text: `Nothing gives the time of frame ${list}: it lies outside the marked frames, so its time was taken from the straight line through theirs. Fill in time_s in the events table to be sure.`,
        },
      ];
    },
  };
}
