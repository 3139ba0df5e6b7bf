import { viewWithId } from "../../../../src/study/trialViews.ts";
import type { EventFrame, Side, WholeStudy } from "../../../../src/study/types.ts";

/**
 * How a skater's strides go in time, from events already picked: where to look for the next one. Only a place to start
 * looking; nothing is measured from it.
 */
export interface Rhythm {
  /** From a blade-off to the same blade's blade-on. */
  readonly recovery: readonly Beat[];
  /** From a blade-on to the other blade's blade-off. */
  readonly carry: readonly Beat[];
  /** From a blade-off to the other blade's. */
  readonly push: readonly Beat[];
  /** From a blade-off to the arms' extremes that go with it. */
  readonly arms: readonly Beat[];
  /** Which share of a recovery has passed when the blade is nearest the midline. */
  readonly nearest: readonly Beat[];
}

export type BeatName = keyof Rhythm;

interface Beat {
  /** Clip seconds at which it begins. */
  readonly at: number;
  /** Real seconds, or a share. */
  readonly size: number;
}

/** Typical of a sprint, for a trial and study in which nothing is picked yet; common practice, no source. Real seconds. */
const TYPICAL: Record<BeatName, number> = {
  recovery: 0.27,
  carry: 0.06,
  push: 0.33,
  arms: 0.03,
  nearest: 0.8,
};

/** One stride as the events picked so far tell it. */
export interface Stride {
  readonly side: Side;
  readonly off: EventFrame;
  readonly on: EventFrame | null;
  readonly nearest: EventFrame | null;
  readonly arms: readonly EventFrame[];
}

/** Strides by their blade-offs, in order; arms belong to the blade-off nearest in time. */
export function stridesOf(events: readonly EventFrame[]): readonly Stride[] {
  const offs = events.filter((e) => e.event === "blade_off").sort((a, b) => a.frame - b.frame);
  const arms = new Map<EventFrame, EventFrame[]>(offs.map((off) => [off, []]));
  for (const arm of events.filter((e) => e.event === "arm_front" || e.event === "arm_back")) {
    const away = (off: EventFrame) => Math.abs(off.time - arm.time);
    const nearest = offs.reduce<EventFrame | null>(
      (best, off) => (best && away(best) <= away(off) ? best : off),
      null,
    );
    if (nearest) arms.get(nearest)?.push(arm);
  }
  return offs.map((off, i) => {
    const end = offs.slice(i + 1).find((o) => o.side === off.side)?.frame ?? Number.POSITIVE_INFINITY;
    const first = (name: "blade_on" | "recovery_min") =>
      events
        .filter((e) => e.event === name && e.side === off.side && e.frame > off.frame && e.frame < end)
        .reduce<EventFrame | null>((least, e) => (!least || e.frame < least.frame ? e : least), null);
    return {
      side: off.side,
      off,
      on: first("blade_on"),
      nearest: first("recovery_min"),
      arms: arms.get(off) ?? [],
    };
  });
}

export function rhythmOf(events: readonly EventFrame[], speedFactor: number): Rhythm {
  const strides = stridesOf(events);
  const found: Record<BeatName, Beat[]> = { recovery: [], carry: [], push: [], arms: [], nearest: [] };
  const note = (name: BeatName, from: EventFrame, to: EventFrame) =>
    found[name].push({ at: from.time, size: (to.time - from.time) / speedFactor });
  strides.forEach(({ side, off, on, nearest, arms }, i) => {
    const next = strides[i + 1];
    const follows = next && next.side !== side ? next.off : null;
    if (on) note("recovery", off, on);
    if (follows) note("push", off, follows);
    if (on && follows && follows.frame > on.frame) note("carry", on, follows);
    if (arms[0]) note("arms", off, arms[0]);
    if (on && nearest)
      found.nearest.push({ at: off.time, size: (nearest.time - off.time) / (on.time - off.time) });
  });
  return found;
}

/** So many beats nearest in time say how long the next one takes. */
const NEAREST_BEATS = 5;

/** How long a beat that begins at a clip time is likely to take, real seconds (or a share). */
export function likely(name: BeatName, at: number, own: Rhythm, others: Rhythm | null): number {
  const near = (beats: readonly Beat[]) =>
    [...beats]
      .sort((a, b) => Math.abs(a.at - at) - Math.abs(b.at - at))
      .slice(0, NEAREST_BEATS)
      .map((b) => b.size);
  const ours = near(own[name]);
  if (ours.length >= 2) return middleMean(ours);
  const theirs = others?.[name].map((b) => b.size) ?? [];
  if (theirs.length >= 2) return middleMean(theirs);
  return ours[0] ?? TYPICAL[name];
}

/** Mean without the least and the most, where there are enough: one event at a wrong frame moves nothing. */
function middleMean(sizes: readonly number[]): number {
  const sorted = [...sizes].sort((a, b) => a - b);
  const cut = sorted.length >= 4 ? Math.floor(sorted.length / 4) : 0;
  const kept = sorted.length === 3 ? sorted.slice(1, 2) : sorted.slice(cut, sorted.length - cut);
  return kept.reduce((sum, s) => sum + s, 0) / kept.length;
}

const KNOWN = new WeakMap<readonly EventFrame[], Rhythm>();

/** The same skater's other trials first, of the same technique before others, then anybody's of that technique. */
export function rhythmOfOthers({ study, marks }: WholeStudy, trialId: string): Rhythm | null {
  const trial = viewWithId(study, trialId);
  if (!trial) return null;
  const others = study.trials.filter((t) => t.id !== trialId && (marks[t.id]?.events.length ?? 0) > 0);
  const groups = [
    others.filter((t) => t.skater === trial.skater && t.technique === trial.technique),
    others.filter((t) => t.skater === trial.skater),
    others.filter((t) => t.technique === trial.technique),
    others,
  ].map((trials) => trials.map((t) => remembered(marks[t.id]!.events, t.speedFactor)));
  const beats = (name: BeatName) =>
    groups.map((rhythms) => rhythms.flatMap((r) => r[name])).find((found) => found.length >= 2) ?? [];
  return {
    recovery: beats("recovery"),
    carry: beats("carry"),
    push: beats("push"),
    arms: beats("arms"),
    nearest: beats("nearest"),
  };
}

function remembered(events: readonly EventFrame[], speedFactor: number): Rhythm {
  const known = KNOWN.get(events) ?? rhythmOf(events, speedFactor);
  KNOWN.set(events, known);
  return known;
}
