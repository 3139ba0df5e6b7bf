import type { TimedStudy } from "../study/timed.ts";

/** Fewer trials, or fewer different times, may agree by chance: a hand's stopwatch has few steps. */
const LEAST_TRIALS = 6;
const LEAST_TIMES = 5;
/** Of the trials both have: a copy in which a time or two was mended since is still the same evening. [judgement] */
const MOST = 0.9;

interface Named {
  readonly name: string;
  readonly study: TimedStudy;
}

/**
 * Two of several studies that hold one evening's times: a copy counted as another evening would make its few skaters look as if they
 * had done it twice. By their place in the run order, as copies may call skaters otherwise. Null where there are none.
 */
export function sameEvening(
  evenings: readonly Named[],
): { readonly one: string; readonly other: string; readonly equal: number; readonly of: number } | null {
  /** Evenings by a time at a place of the run order, so that only those are compared which share one. */
  const byTime = new Map<string, number[]>();
  const timesOf = evenings.map(
    ({ study }) =>
      new Map(study.trials.flatMap((t) => (t.time === null ? [] : [[t.order, t.time] as const]))),
  );
  for (const [k, times] of timesOf.entries()) {
    const shared = new Map<number, number>();
    for (const [order, time] of times) {
      const key = `${order} ${time}`;
      const before = byTime.get(key) ?? [];
      for (const other of before) shared.set(other, (shared.get(other) ?? 0) + 1);
      byTime.set(key, [...before, k]);
    }
    for (const [other, equal] of shared) {
      const both = [...times.keys()].filter((order) => timesOf[other]!.has(order)).length;
      const least = Math.min(times.size, timesOf[other]!.size);
      const different = new Set([...times].flatMap(([o, t]) => (timesOf[other]!.get(o) === t ? [t] : [])))
        .size;
      if (both < LEAST_TRIALS || different < LEAST_TIMES || equal < MOST * both || both < least / 2) continue;
      return { one: evenings[other]!.name, other: evenings[k]!.name, equal, of: both };
    }
  }
  return null;
}
