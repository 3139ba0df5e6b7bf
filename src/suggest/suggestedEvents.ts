import { median } from "../statistics/median.ts";
import type { EventName, Side } from "../study/types.ts";
import { ownSd } from "./ownSd.ts";
import type { Chosen, Rhythm } from "./rhythm.ts";
import { SteadyRhythm } from "./steadyRhythm.ts";
import type { Lessons } from "./taught.ts";

export interface SuggestedEvent {
  readonly event: EventName;
  readonly side: Side;
  readonly frame: number;
}

/** `spread`, where one confirmed stride alone could choose, is as far apart as they mostly are. */
export type FoundEvent = SuggestedEvent & Chosen & { readonly spread: number };

/** So many confirmed frames of an event and side must there be before more are suggested. */
export const FEWEST_LESSONS = 2;
/** So many of the nearest confirmed frames choose. */
const VOICES = 3;
/** How far from where the rhythm puts it an event is looked for, as a share of the time from one to the next of its side. */
const REACH = 0.2;
/** A shorter time from one blade-off to the next of the same side no skater has, real seconds. [judgement: sprinters take 0.4 to 0.7] */
const SHORTEST_CYCLE_S = 0.25;
/** SD in frames before the clip has told its own. [measured: docs/suggested-marks.md, limbs 13 to 20 ms off the contact] */
const UNTOLD_SD_FRAMES = 1;
/** SD no rhythm beats, frames: the eye picks whole frames. JCGM 100:2008 4.3.7 */
const LEAST_SD_FRAMES = Math.sqrt(1 / 12);

/**
 * Frames in which the limbs lie as they did in those confirmed, one after the other from them outward, as long as a body is
 * seen; each then moved to where the rhythm of all of them has it. Frames already confirmed are not among them.
 *
 * @returns `sdFrames`: how far suggested frames of an event are off on this clip, SD in frames
 */
export function suggestedEvents(
  lessons: readonly Lessons[],
  rhythm: Rhythm,
  realInterval: number,
): { readonly events: readonly FoundEvent[]; readonly sdFrames: (event: EventName) => number } {
  const cycle = cycleFrames(lessons, SHORTEST_CYCLE_S / realInterval);
  if (cycle === null) return { events: [], sdFrames: () => UNTOLD_SD_FRAMES };
  const byLimbs = foundByLimbs(lessons, rhythm, cycle);
  const steady = new SteadyRhythm(byLimbs, lessons, { cycle, realInterval });
  return {
    events: byLimbs.map((f) => ({ ...f, frame: Math.round(steady.frameOf(f)) })),
    sdFrames: eventSds(lessons, rhythm, steady),
  };
}

function foundByLimbs(lessons: readonly Lessons[], rhythm: Rhythm, cycle: number): FoundEvent[] {
  return lessons.flatMap(({ event, side, all }) => {
    const known = all.map((l) => l.frame);
    if (known.length < FEWEST_LESSONS) return [];
    const reach = Math.max(3, Math.round(REACH * cycle));
    const found = [
      ...outward(known, rhythm, cycle, reach, 1),
      ...outward(known, rhythm, cycle, reach, -1),
      ...between(known, rhythm, cycle, reach),
    ];
    const told = found.flatMap(({ spread }) => spread ?? []);
    const mostly = told.length > 0 ? median(told) : 0;
    return [...new Map(found.map((f) => [f.frame, f])).values()]
      .filter(({ frame }) => known.every((k) => Math.abs(k - frame) > cycle / 2))
      .sort((a, b) => a.frame - b.frame)
      .map((f) => ({ event, side, ...f, spread: f.spread ?? mostly }));
  });
}

/**
 * Frames from one event to the next of its kind and side: the shortest that was confirmed; null when nothing tells. Of contacts,
 * where there are any: what is picked nearest the midline lies some frames this way or that.
 */
function cycleFrames(lessons: readonly Lessons[], shortest: number): number | null {
  const gaps = lessons.flatMap(({ event, all }) =>
    all.slice(1).flatMap((l, i) => {
      const frames = l.frame - all[i]!.frame;
      return frames >= shortest ? [{ event, frames }] : [];
    }),
  );
  const contacts = gaps.filter((g) => isContact(g.event));
  const told = (contacts.length > 0 ? contacts : gaps).map((g) => g.frames);
  return told.length === 0 ? null : Math.min(...told);
}

function nearest(known: readonly number[], frame: number): number[] {
  return [...known].sort((a, b) => Math.abs(a - frame) - Math.abs(b - frame)).slice(0, VOICES);
}

function outward(
  known: readonly number[],
  rhythm: Rhythm,
  cycle: number,
  reach: number,
  step: 1 | -1,
): Chosen[] {
  const found: Chosen[] = [];
  let last = step === 1 ? known.at(-1)! : known[0]!;
  let gap = cycle;
  for (;;) {
    const near = Math.round(last + step * gap);
    const best = rhythm.bestNear(nearest(known, near), near, reach);
    if (!best) return found;
    const next = Math.abs(best.frame - last);
    if (next < cycle / 2) return found;
    // The rhythm drifts slowly: half of what is new is believed.
    gap = (gap + next) / 2;
    last = best.frame;
    found.push(best);
  }
}

function between(known: readonly number[], rhythm: Rhythm, cycle: number, reach: number): Chosen[] {
  return known.slice(1).flatMap((after, i) => {
    const before = known[i]!;
    const steps = Math.round((after - before) / cycle);
    return Array.from({ length: Math.max(0, steps - 1) }, (_, k) => {
      const near = Math.round(before + ((after - before) * (k + 1)) / steps);
      return rhythm.bestNear(nearest(known, near), near, reach);
    }).filter((chosen) => chosen !== null);
  });
}

/**
 * Each confirmed frame looked for by the others. Contacts are told by what contacts are missed by: where a blade is nearest the
 * midline is soft to a few frames, and says nothing of them. Of anything else too few are confirmed to tell by itself.
 */
function eventSds(
  lessons: readonly Lessons[],
  rhythm: Rhythm,
  steady: SteadyRhythm,
): (event: EventName) => number {
  const groups = lessons.map(({ event, side, all }) => ({
    event,
    off: all.flatMap(({ frame, byHand }) => {
      if (!byHand) return [];
      const others = all.map((l) => l.frame).filter((f) => f !== frame);
      const best = others.length > 0 ? rhythm.bestNear(nearest(others, frame), frame, 8) : null;
      return best ? [steady.leftOut({ event, side, frame }, best.frame) - frame] : [];
    }),
  }));
  const sdOf = (of: typeof groups) =>
    ownSd(
      of.flatMap((g) => g.off),
      of.reduce((sum, g) => sum + Math.max(0, g.off.length - 1), 0),
    );
  const all = sdOf(groups) ?? UNTOLD_SD_FRAMES;
  const contacts = sdOf(groups.filter((g) => isContact(g.event))) ?? all;
  return (event) => Math.max(LEAST_SD_FRAMES, isContact(event) ? contacts : all);
}

const isContact = (event: EventName) => event === "blade_off" || event === "blade_on";
