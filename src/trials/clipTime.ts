import type { OrWhy } from "../reading.ts";
import { lengthText } from "../study/length.ts";
import type { TimedTrial, TimedWhole } from "../study/timed.ts";
import { viewsOf } from "../study/trialViews.ts";
import type { Trial, WholeStudy } from "../study/types.ts";
import { formatNumber } from "../uncertainty/format.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import { endGates, framesOwnSd, gateTimeFromFrames } from "./gateTime.ts";

/** A trial's time by its own clips, real seconds. */
export interface ClipTime {
  readonly value: number;
  /** Standard uncertainty. */
  readonly sd: number;
  /** Which views gave it, from 1. */
  readonly views: readonly number[];
}

/**
 * Coarser than this, seconds, a clip gives no time: one beam alone is taken to be as good (`BEAM_SD` of `clockMix.ts`). Reached
 * at some 13 frames a second from a flying start. [judgement]
 */
const COARSEST = 0.03;
/** Nobody skates faster, or sprints slower, m/s (common practice, no source). */
const [FASTEST, SLOWEST] = [18, 1];
/** Two views further apart than this many standard uncertainties, one time in a hundred by chance, are not averaged. */
const APART = 2.58;

interface Seen {
  readonly view: number;
  readonly value: number;
  readonly sd: number;
  /** The part of `sd` that is this view's frames alone. */
  readonly own: number;
}

/**
 * A trial's time from the frames in which its clips show the front of the skater at the first and the last gate. Two views that
 * both show both gates are averaged by how well each tells them; what the skater does to them alike (which part leads) is not
 * averaged away. Blade-offs give no time: they lean on the scale, and 16 to 63 ms is too coarse.
 *
 * @returns seconds with a standard uncertainty, or why there is none and what to do
 */
export function clipTime({ study, marks }: WholeStudy, trial: Trial): OrWhy<ClipTime> {
  const gates = endGates(study.lane);
  if (!gates) return none("Plan does not say where two gates stand.");
  const whys: string[] = [];
  const seen = viewsOf(trial).flatMap((view, k): Seen[] => {
    const { picture, gatePassings = [] } = marks[view.id] ?? { picture: null };
    if (view.clip === undefined || !picture) {
      whys.push("nothing is marked on its clip yet.");
      return [];
    }
    const { speedFactor } = view;
    const timing = { frameInterval: picture.frameInterval, speedFactor };
    const time = gateTimeFromFrames(gatePassings, gates, timing, study.lane.start);
    if (time.value === null) {
      whys.push(time.why);
      return [];
    }
    const own = framesOwnSd(time, picture.frameInterval / speedFactor);
    return [{ view: k + 1, value: time.value, sd: time.sd, own }];
  });
  if (seen.length === 0) return none(whys[0] ?? "it has no clip.");
  const apart = disagreement(seen);
  if (apart) return none(apart);
  const found = joined(seen);
  const distance = gates[1] - gates[0];
  const speed = distance / found.value;
  if (speed > FASTEST || speed < SLOWEST)
    return none(
      `${lengthText(distance, study.lane.unit)} in ${formatNumber(found.value, 2)} s would be ${formatNumber(speed, 1)} m/s. Check the frames at the gates and the clip's speed factor.`,
    );
  if (found.sd > COARSEST)
    return none(
      `from this clip it could only be had to ± ${formatNumber(K95 * found.sd, 2)} s, too coarse to count. Film 30 frames a second or more.`,
    );
  return found;
}

/** To a thousandth of a second, a tenth of what the best clip is good to: no digit more is told anywhere. */
function roundedTime(seconds: number): number {
  return Math.round(1000 * seconds) / 1000;
}

const timedStudies = new WeakMap<WholeStudy, TimedWhole>();

/**
 * The study with the times that its clips give where somebody chose that (`timedBy`). A photocell time that is typed stands; where
 * the clip gives none the trial has none.
 */
export function withClipTimes(whole: WholeStudy): TimedWhole {
  const { study } = whole;
  if (study.trials.every((t) => t.timedBy === undefined || t.time !== null)) return whole;
  const before = timedStudies.get(whole);
  if (before) return before;
  const trials = study.trials.map((trial): TimedTrial => {
    if (trial.timedBy !== "clip" || trial.time !== null) return trial;
    const found = clipTime(whole, trial);
    return found.value === null ? trial : { ...trial, time: roundedTime(found.value), clipSd: found.sd };
  });
  const timed = { ...whole, study: { ...study, trials } };
  timedStudies.set(whole, timed);
  return timed;
}

/** The mean of all views, each weighed by its frames; where the skater is read alike the larger doubt stays. */
function joined(seen: readonly Seen[]): ClipTime & { value: number } {
  const weight = seen.reduce((sum, s) => sum + 1 / s.own ** 2, 0);
  const value = seen.reduce((sum, s) => sum + s.value / s.own ** 2, 0) / weight;
  const shared = Math.max(...seen.map((s) => Math.sqrt(Math.max(0, s.sd ** 2 - s.own ** 2))));
  return { value, sd: Math.hypot(1 / Math.sqrt(weight), shared), views: seen.map((s) => s.view) };
}

function disagreement(seen: readonly Seen[]): string | null {
  for (const [k, a] of seen.entries())
    for (const b of seen.slice(k + 1))
      if (Math.abs(a.value - b.value) > APART * Math.hypot(a.own, b.own))
        return `view ${a.view} shows ${formatNumber(a.value, 3)} s from gate to gate and view ${b.view} ${formatNumber(b.value, 3)} s, farther apart than their frames allow. Look at the frames picked at the gates, and at each clip's speed factor.`;
  return null;
}

function none(why: string): { value: null; why: string } {
  return { value: null, why };
}
