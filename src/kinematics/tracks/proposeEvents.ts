import { changePoint, vertex } from "../../marks/changePoint.ts";
import { runsOf, smoothTrack } from "../../marks/smoothTrack.ts";
import type { EventName, Side } from "../../study/types.ts";
import type { BladeTracks, TrackPoint } from "./bladeTracks.ts";

/** An event frame that a marked track suggests. Only ever a suggestion: the eye picks. */
export interface Proposal {
  readonly event: Extract<EventName, "blade_off" | "recovery_min">;
  readonly side: Side;
  readonly frame: number;
  /** Real seconds of the event itself, and how far off (SD) such a suggestion is. */
  readonly seconds: number;
  readonly sdSeconds: number;
}

/** The camera looks along the travel, or across it, up to these angles between view and travel. */
export const ALONG_VIEW_DEG = 30;
export const ACROSS_VIEW_DEG = 60;

/** From blade-off to the blade's farthest out, seconds: bias and SD along the travel; SD otherwise (docs/precision.md 6). */
const EXTREME = { bias: 0.01, sd: 0.015, sdElsewhere: 0.04 };
/** From blade-off to the bend of the track seen from the side, seconds (docs/precision.md 6). */
const BEND_OFF = { bias: -0.009, sd: 0.011 };
/** The blade at its nearest stands still across, so a suggestion from the track is loose. [judgement] */
const NEAREST_SD = 0.03;
/** Out and back by less than this is no push, metres. */
const LEAST_TRAVEL = 0.15;
/** A track with a hole longer than this is two tracks, seconds. */
const HOLE = 0.06;
/** Half-widths of the stretches looked at around a place of a track, seconds (docs/precision.md 6). */
const VERTEX_REACH = 0.035;
export const BEND_REACH = 0.12;
/** Of a misfit, the share a bend must take away to be one. [judgement] */
const CLEAR_BEND = 0.5;

/**
 * Event frames suggested by densely marked blades, in order of frames: blade-off from where a blade is farthest out
 * (from the side: where its track bends), the nearest in recovery from where it is farthest in. Blade-on is not
 * suggested: from marks it comes out 40 to 70 ms wrong at every frame rate.
 */
export function proposeEvents(tracks: BladeTracks): Proposal[] {
  return (["left", "right"] as const)
    .flatMap((side) => runsOf(tracks[side], HOLE).flatMap((run) => proposalsOf(run, side, tracks.viewDeg)))
    .sort((a, b) => a.frame - b.frame || (a.side < b.side ? -1 : 1));
}

function proposalsOf(run: readonly TrackPoint[], side: Side, viewDeg: number | null): Proposal[] {
  if (run.length < 12) return [];
  const times = run.map((p) => p.time);
  const { values } = smoothTrack(
    times,
    run.map((p) => p.out),
  );
  return extremes(values).flatMap(({ at, kind }): Proposal[] => {
    const time = extremeTime(run, run[at]!.time, kind) ?? run[at]!.time;
    if (kind === "lowest") {
      const nearest = run.reduce((best, p) =>
        Math.abs(p.time - time) < Math.abs(best.time - time) ? p : best,
      );
      return [{ event: "recovery_min", side, frame: nearest.frame, seconds: time, sdSeconds: NEAREST_SD }];
    }
    const { seconds, sdSeconds } = bladeOff(run, time, viewDeg);
    // The last frame of contact is the last one before the event.
    const last = run.filter((p) => p.time <= seconds).at(-1);
    return last ? [{ event: "blade_off", side, frame: last.frame, seconds, sdSeconds }] : [];
  });
}

function bladeOff(run: readonly TrackPoint[], farthest: number, viewDeg: number | null) {
  const byExtreme = { seconds: farthest - EXTREME.bias, sdSeconds: EXTREME.sdElsewhere };
  if (viewDeg === null) return byExtreme;
  if (viewDeg < ALONG_VIEW_DEG) return { ...byExtreme, sdSeconds: EXTREME.sd };
  const bend = bendNear(run, farthest);
  if (bend === null || viewDeg < ACROSS_VIEW_DEG) return byExtreme;
  return { seconds: bend - BEND_OFF.bias, sdSeconds: BEND_OFF.sd };
}

/** Highest and lowest places of a smooth track, in turn, where it goes out or in by enough on both sides. */
function extremes(values: readonly number[]): { at: number; kind: "highest" | "lowest" }[] {
  const found: { at: number; kind: "highest" | "lowest" }[] = [];
  let [low, high] = [0, 0];
  let rising: boolean | null = null;
  values.forEach((value, k) => {
    if (value > values[high]!) high = k;
    if (value < values[low]!) low = k;
    if (rising !== false && values[high]! - value > LEAST_TRAVEL) {
      // What a track begins with is not known to be an extreme.
      if (rising) found.push({ at: high, kind: "highest" });
      [rising, low] = [false, k];
    } else if (rising !== true && value - values[low]! > LEAST_TRAVEL) {
      if (rising === false) found.push({ at: low, kind: "lowest" });
      [rising, high] = [true, k];
    }
  });
  return found;
}

/** Where a parabola through the marks around a place is farthest out (in), real seconds; null where it is not. */
function extremeTime(run: readonly TrackPoint[], around: number, kind: "highest" | "lowest"): number | null {
  const near = run.filter((p) => Math.abs(p.time - around) <= VERTEX_REACH + 1e-9);
  const found = vertex(
    near.map((p) => p.time),
    near.map((p) => p.out),
    around,
    kind,
  );
  return found !== null && Math.abs(found - around) <= VERTEX_REACH ? found : null;
}

/** Where a blade's track in the picture bends near a time, real seconds; null where it shows no clear bend. */
export function bendNear(run: readonly TrackPoint[], around: number): number | null {
  const near = run.filter((p) => Math.abs(p.time - around) <= BEND_REACH + 1e-9);
  const signals = {
    times: near.map((p) => p.time),
    values: [0, 1, 2, 3].map((k) => near.map((p) => p.picture[k]!)),
  };
  const found = changePoint(signals, around - 0.75 * BEND_REACH, around + 0.75 * BEND_REACH);
  return found && found.explained >= CLEAR_BEND ? found.time : null;
}
