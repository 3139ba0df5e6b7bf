import { realSeconds } from "../../time/speedFactor.ts";
import type { MomentFrame } from "./moment.ts";

/** One clip that is to be lined up. */
export interface LinedClip {
  /** The clip's own presentation times, seconds of clip time, one a frame, not decreasing. */
  readonly times: readonly number[];
  /** First and last frame that can be shown. */
  readonly part: { readonly first: number; readonly last: number };
  /** Clip seconds per real second. */
  readonly speedFactor: number;
  readonly moment: MomentFrame;
}

/** What one clip shows at one instant. */
export interface ShownAt {
  readonly frame: number;
  /** The clip had not begun or had ended by then: its first or last frame stands in. */
  readonly edge: "before" | "after" | null;
}

export interface Timing {
  /** Frames a second of what is played. */
  readonly rate: number;
  /** How many times slower than life it plays. */
  readonly slow: number;
  /** Real seconds about the moment; absent, and at most, as far as any of the clips reaches. */
  readonly from?: number | undefined;
  readonly to?: number | undefined;
}

export interface LinedUp {
  /** How many instants there are, and which of them shows the moment's own frames; outside of them where the film does not hold it. */
  readonly count: number;
  readonly zero: number;
  /** Real seconds of instant `j` after the moment. */
  secondsAt(j: number): number;
  /** What clip `c` shows at instant `j`. */
  shownAt(c: number, j: number): ShownAt;
  /** What clip `c` shows so many real seconds after the moment. */
  shownAfter(c: number, seconds: number): ShownAt;
  /** The clip whose frames follow one another fastest; the first of those alike. */
  readonly lead: number;
  /** Real seconds from the moment to step `k` of the leading clip: its frame `k`, and beyond its ends as far apart. */
  leadSeconds(k: number): number;
  /** The step of the leading clip nearest to so many real seconds after the moment. */
  leadStep(seconds: number): number;
  /** Real seconds from the moment to a frame of clip `c`. */
  sinceMoment(c: number, frame: number): number;
  /** Real seconds between frames of clip `c` at the moment. */
  readonly intervals: readonly number[];
}

/**
 * Which frame each clip shows at each instant of a film in which the same moment of all of them falls on one instant.
 *
 * The moment lies half a frame beside the frame picked for it (`EVENT_OFFSET_FRAMES`), and clips may have different
 * rates. So real time is counted from the moment itself, and at each instant a clip shows the frame nearest in time.
 * The instant of the moment is put where the picked frames of all clips are the nearest ones: on that of the leading
 * clip, half the shortest of their intervals beside it.
 */
export function lineUp(clips: readonly LinedClip[], timing: Timing): LinedUp {
  const intervals = clips.map(intervalAt);
  const since = clips.map(({ times, speedFactor, moment }, c) => {
    const zero = realSeconds(times[moment.frame] ?? 0, speedFactor) + moment.offset * intervals[c]!;
    return times.map((t) => realSeconds(t, speedFactor) - zero);
  });
  const offset = clips[0]?.moment.offset ?? 0;
  const lead = leading(intervals);
  const start = offset === 0 ? 0 : -offset * (intervals[lead] ?? 0);
  const step = 1 / (timing.rate * timing.slow);
  const ends = clips.map(({ part }, c) => [since[c]![part.first] ?? 0, since[c]![part.last] ?? 0] as const);
  const least = Math.min(...ends.map(([first]) => first));
  const most = Math.max(...ends.map(([, last]) => last));
  // Who asks for the moment itself means the picked frames that show it.
  const asked = (t: number) => (Math.abs(t) <= Math.abs(start) ? start : t);
  const from = Math.max(asked(timing.from ?? least), least);
  const to = Math.min(asked(timing.to ?? most), most);
  const whole = 1e-6;
  // Instants are counted from the moment's own; the film need not hold it.
  const first = Math.ceil((from - start) / step - whole);
  const last = Math.floor((to - start) / step + whole);
  const secondsAt = (j: number) => start + (first + j) * step;
  const shownAfter = (c: number, at: number): ShownAt => {
    const { part } = clips[c]!;
    const half = intervals[c]! / 2;
    const frame = Math.min(Math.max(nearest(since[c]!, at), part.first), part.last);
    const [first, last] = ends[c]!;
    return { frame, edge: at < first - half ? "before" : at > last + half ? "after" : null };
  };
  return {
    count: Math.max(0, last - first + 1),
    zero: -first,
    secondsAt,
    shownAt: (c, j) => shownAfter(c, secondsAt(j)),
    shownAfter,
    lead,
    ...stepsOf(since[lead]!, clips[lead]!.part, intervals[lead]!),
    sinceMoment: (c, frame) => since[c]![frame]!,
    intervals,
  };
}

/** Rates that differ by less are the same to the eye. */
const ALIKE = 0.01;

function leading(intervals: readonly number[]): number {
  const shortest = Math.min(...intervals);
  return intervals.findIndex((i) => i <= shortest * (1 + ALIKE));
}

/** One clip's frames as steps in real time, which go on beyond the part that can be shown. */
function stepsOf(
  since: readonly number[],
  { first, last }: LinedClip["part"],
  interval: number,
): Pick<LinedUp, "leadSeconds" | "leadStep"> {
  const beyond = (seconds: number) => (interval > 0 ? Math.round(seconds / interval) : 0);
  return {
    leadSeconds(k) {
      const inside = Math.min(Math.max(k, first), last);
      return since[inside]! + (k - inside) * interval;
    },
    leadStep(seconds) {
      const inside = Math.min(Math.max(nearest(since, seconds), first), last);
      const over = inside === first || inside === last ? beyond(seconds - since[inside]!) : 0;
      return (inside === first && over < 0) || (inside === last && over > 0) ? inside + over : inside;
    },
  };
}

/** Real seconds between the moment's frame and the one on the side the moment lies to. */
function intervalAt({ times, speedFactor, moment }: LinedClip): number {
  const { frame, offset } = moment;
  const gap = (a: number) => (times[a + 1] ?? Number.NaN) - (times[a] ?? Number.NaN);
  const sides = offset < 0 ? [gap(frame - 1), gap(frame)] : [gap(frame), gap(frame - 1)];
  const interval = sides.find((g) => g > 0);
  return interval === undefined ? 0 : realSeconds(interval, speedFactor);
}

/** Index of the value nearest to `at` in a row that does not decrease; the earlier of two equally near. */
function nearest(row: readonly number[], at: number): number {
  let [low, high] = [0, row.length - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (row[middle]! < at) low = middle + 1;
    else high = middle;
  }
  const close = 1e-9;
  return low > 0 && at - row[low - 1]! <= row[low]! - at + close ? low - 1 : low;
}
