import { MeasureError } from "../../errors.ts";
import type { Trial, WholeStudy } from "../../study/types.ts";
import { realSeconds } from "../../time/speedFactor.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import { type LinedClip, type LinedUp, lineUp, type Timing } from "./lineUp.ts";
import { isContact, type Moment, writeMoment } from "./moment.ts";
import { momentName } from "./momentStride.ts";
import { type PanelFrame, panelOf } from "./panel.ts";
import { type FilmWish, filmSubjects, nearestMean, type Subject } from "./subjects.ts";

/** What is known of a clip's frames. */
export interface ClipTimes {
  /** Clip seconds of every frame from the clip's first on. */
  readonly times: readonly number[];
  /** The part that can be shown; null = all of it. */
  readonly part: { readonly first: number; readonly last: number } | null;
}

export interface FilmFrame {
  readonly panels: readonly PanelFrame[];
  readonly foot: string;
}

export interface FilmPlan {
  readonly rate: number;
  readonly count: number;
  /** The output frame that shows the moment's own frame of every clip; outside of the film where it does not hold it. */
  readonly zero: number;
  readonly moment: Moment;
  /** In words, with the number of its stride. */
  readonly name: string;
  readonly trials: readonly string[];
  readonly clips: readonly string[];
  secondsAt(j: number): number;
  at(j: number): FilmFrame;
  /** What is seen so many real seconds after the moment. */
  showing(seconds: number): FilmFrame;
  readonly steps: FilmSteps;
}

/** The film frame by frame of the clip whose frames follow one another fastest: for moving by hand. */
export interface FilmSteps {
  /** Which clip that is. */
  readonly clip: number;
  readonly first: number;
  readonly last: number;
  /** The step at which all clips show the frames picked for the moment. */
  readonly zero: number;
  /** Real seconds of step `k` after the moment. */
  secondsAt(k: number): number;
  /** The step nearest to so many real seconds after the moment. */
  nearest(seconds: number): number;
  /** The time written under the leading clip's picture at step `k`, seconds. */
  clock(k: number): number;
}

/** Shown before the first and after the last marked event, real seconds. */
const AROUND = 0.4;

/**
 * A film of one trial, or of two side by side, lined up on a moment and shown at the same scale on the ice.
 *
 * @throws {MeasureError} `unknown-trial`, `no-clip`, `no-moment`, `empty-film`
 */
export function planFilm(
  whole: WholeStudy,
  wish: FilmWish,
  timesOf: (trial: Trial) => ClipTimes,
  readingOf: ReadingOf,
): FilmPlan {
  const { moment, subjects } = filmSubjects(whole, wish, readingOf);
  const clips = subjects.map((s): LinedClip => {
    const { times, part } = timesOf(s.trial);
    const { first, last } = part ?? { first: 0, last: times.length - 1 };
    return {
      times,
      part: { first, last: Math.min(last, times.length - 1) },
      speedFactor: s.trial.speedFactor,
      moment: s.at,
    };
  });
  for (const [c, { part, moment: at }] of clips.entries())
    if (at.frame < part.first || at.frame > part.last)
      throw new MeasureError(
        "no-such-frame",
        `planFilm needs frame ${at.frame} of trial ${wish.trials[c]}; it has ${part.first} to ${part.last}`,
        `${subjects[c]!.label}: ${momentName(moment, [subjects[c]!.marks])} is marked in frame ${at.frame}, but only frames ${part.first} to ${part.last} of the clip can be shown. Is it the right clip, and is the part that matters long enough?`,
      );
  const timing = {
    rate: wish.rate ?? (wish.slow < 2 ? 60 : 30),
    slow: wish.slow,
    from: wish.from,
    to: wish.to,
  };
  const lined = lineUp(clips, within(clips, subjects, timing));
  if (lined.count < 2)
    throw new MeasureError(
      "empty-film",
      `planFilm needs a stretch of time; got ${wish.from} to ${wish.to}`,
      "There is nothing to show between these times. Choose a longer stretch around the event.",
    );
  const panels = subjects.map((s, c) =>
    panelOf(whole, s, { c, lined, times: clips[c]!.times }, moment, readingOf),
  );
  const name = momentName(
    moment,
    subjects.map((s) => s.marks),
  );
  const nearest = nearestMean(whole.study, subjects, readingOf);
  const isNearest = nearest !== null && writeMoment(nearest) === writeMoment(moment);
  const foot = footOf(
    isNearest ? `${name}, nearest the mean` : name,
    wish.slow,
    panels.every((p) => p.scaled),
    subjects.length,
  );
  const showing = (seconds: number) => ({ panels: panels.map((p) => p.at(seconds)), foot });
  return {
    rate: timing.rate,
    count: lined.count,
    zero: lined.zero,
    moment,
    name,
    trials: wish.trials,
    clips: subjects.map((s) => s.clip),
    secondsAt: lined.secondsAt,
    at: (j) => showing(lined.secondsAt(j)),
    showing,
    steps: stepsOf(lined, clips[lined.lead]!.moment.frame, moment),
  };
}

function stepsOf(lined: LinedUp, zero: number, moment: Moment): FilmSteps {
  const [from, to] = [lined.secondsAt(0), lined.secondsAt(lined.count - 1)];
  const [first, last] = [lined.leadStep(from), lined.leadStep(to)];
  // Without a known ± times are counted from the picked frame itself, as under the pictures.
  const from0 = isContact(moment) ? 0 : lined.leadSeconds(zero);
  return {
    clip: lined.lead,
    first,
    last,
    zero,
    secondsAt: lined.leadSeconds,
    nearest: lined.leadStep,
    clock: (k) => lined.leadSeconds(k) - from0,
  };
}

/** The stretch to show: as asked, else from the first to the last marked event of either, and a little more. */
function within(clips: readonly LinedClip[], subjects: readonly Subject[], timing: Timing): Timing {
  const real = clips.map(({ times, part, speedFactor, moment }, c) => {
    const frames = subjects[c]!.marks.events.map((e) => e.frame);
    const since = (frame: number) => realSeconds(times[frame]! - times[moment.frame]!, speedFactor);
    const marked = [...frames.filter((f) => f >= part.first && f <= part.last), moment.frame].map(since);
    return { from: Math.min(...marked), to: Math.max(...marked) };
  });
  return {
    ...timing,
    from: timing.from ?? Math.min(...real.map((r) => r.from)) - AROUND,
    to: timing.to ?? Math.max(...real.map((r) => r.to)) + AROUND,
  };
}

function footOf(name: string, slow: number, scaled: boolean, clips: number): string {
  const speed = slow === 1 ? "real speed" : `${Number(slow.toFixed(2))} times slower than life`;
  const said = [clips > 1 ? `lined up on ${name}` : name, speed];
  if (clips > 1) said.push(scaled ? "same scale on the ice" : "not at the same scale");
  return said.filter((s) => s !== null).join("  ·  ");
}
