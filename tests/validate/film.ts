import type { Filmed } from "./bound.ts";
import type { Filmer } from "./lens.ts";
import {
  followCamera,
  layIcePoints,
  layLaneMarks,
  MIDDLE,
  PLACEMENTS,
  type Placement,
  standCamera,
} from "./placements.ts";
import { type Dice, dice } from "./random.ts";
import { chooseIcePoints, eventsTable, type Filming, iceFramesTable, iceTable, MarkSheet } from "./sheets.ts";
import { type Foot, type Push, type SimSkater, simSkater } from "./skater.ts";

/** How a trial is filmed and marked. */
export interface Conditions {
  /** Frames a second; absent = 30, 60 and 120 by turns. */
  readonly fps?: number;
  /** SD of every mark, px. */
  readonly noisePx: number;
  /** SD of hips' marks, px; absent = 3 to 6 by the skater's clothing, and nobody says how much. */
  readonly hipPx?: number;
  /** Share of event frames that are one frame off. */
  readonly slips: number;
  /** Blades flat on the ice while they carry, for checks without any noise. */
  readonly flat: boolean;
  /** Share of trials whose ice points were taped roughly, and the SD of that, metres; the others are exact. */
  readonly tape: readonly [share: number, sd: number];
  /** The user does not say that the points were taped roughly. */
  readonly tapeHidden?: boolean;
  /** Share of body marks that are off by up to 8 px. */
  readonly outliers?: number;
  /** First term of every camera's lens, where not each its own. */
  readonly lens?: number;
  /** What every skater does, where not each by their own habit: lifts the recovering blade so high (m), starts from rest. */
  readonly skater?: { readonly lift?: number; readonly fromRest?: boolean };
}

export const ORDINARY: Conditions = { noisePx: 1, slips: 0.2, flat: false, tape: [0.25, 0.01] };
export const PERFECT: Conditions = { noisePx: 0, slips: 0, flat: true, tape: [0, 0] };

/** A push as it was marked: which frames the eye picked. */
export interface Picked {
  readonly push: Push;
  readonly off: number;
  readonly on: number;
  readonly nearest: number;
}

/** One filmed trial: what the user has (tables, body lengths, lens) and what really happened. */
export interface FilmedTrial {
  readonly tables: { readonly marks: string; readonly events: string; readonly ice: string };
  /** What the camera did; the index of the view in which a frame was marked. */
  readonly filmed: Filmed;
  readonly viewOf: (frame: number) => number;
  /** Whether `ice` is `ice_points_frames.csv`: the camera moves. */
  readonly follows: boolean;
  readonly body: Readonly<Record<string, number>>;
  readonly lens: { readonly k1: number; readonly k2: number } | null;
  readonly picture: { readonly width: number; readonly height: number };
  readonly fps: number;
  readonly skater: SimSkater;
  /** Marked pushes in order of blade-off, and the index of the first of them in `skater.pushes`. */
  readonly picked: readonly Picked[];
  readonly firstPush: number;
  /** Frames picked for the ends of the arms' swings. */
  readonly arms: readonly {
    readonly side: Foot;
    readonly end: "front" | "back";
    readonly frame: number;
    readonly time: number;
  }[];
}

const FRAME_RATES = [30, 60, 120];

/** Skater number `who` filmed from a placement; null where the camera cannot see enough of the lane. */
export function filmTrial(
  seed: number,
  placement: Placement,
  who: number,
  conditions: Conditions,
): FilmedTrial | null {
  const d = dice(seed, PLACEMENTS.indexOf(placement), who);
  const fps = conditions.fps ?? FRAME_RATES[who % 3]!;
  const own = who % 5 === 4 ? { k1: d.even(-0.15, 0.02), k2: d.even(-0.01, 0.02) } : null;
  const lens = conditions.lens === undefined ? own : { k1: conditions.lens, k2: 0 };
  const [roughly, tapeSd] = conditions.tape;
  const tapeError = d.chance(roughly) ? tapeSd : 0;
  const tapeSaid = conditions.tapeHidden ? 0 : tapeError;
  const camera = standCamera(d, placement, lens ?? { k1: 0, k2: 0 });
  const { follows } = placement;
  const laid = follows
    ? { points: layLaneMarks(d, tapeError), zone: [MIDDLE - 6, MIDDLE + 6] as const }
    : layIcePoints(d, camera, tapeError);
  if (!laid) return null;
  const [from, to] = laid.zone;
  const skater = simSkater(d, {
    path: who % 2 === 0 ? "narrow" : "wide",
    arms: (["fore-aft", "diagonal", "side-to-side"] as const)[Math.floor(who / 2) % 3]!,
    flat: conditions.flat,
    middle: (from + to) / 2,
    restsAt: from + 0.5,
    pushes: 14,
    ...conditions.skater,
  });
  const slip = () => (d.chance(conditions.slips) ? (d.chance(0.5) ? 1 : -1) : 0);
  const inZone = (p: Push, k: number) => {
    const x = (skater.heel(p.foot, p.off)[0] + skater.toe(p.foot, p.off)[0]) / 2;
    // The outermost pushes exist only so that the marked ones have true neighbours.
    return x > from - 0.3 && x < to + 0.3 && k >= (skater.standsBefore ?? 2) && k < skater.pushes.length - 3;
  };
  const firstPush = skater.pushes.findIndex(inZone);
  const picked = skater.pushes.filter(inZone).map((push): Picked => {
    const on = Math.ceil(push.on * fps) + slip();
    return {
      push,
      off: Math.floor(push.off * fps) + slip(),
      on,
      nearest: Math.min(Math.round(push.nearest * fps) + slip(), on),
    };
  });
  const filming = follows
    ? following(camera, skater, fps, follows.zoom, [seed, PLACEMENTS.indexOf(placement), who])
    : () => camera;
  const clothing = dice(seed, PLACEMENTS.indexOf(placement), who, 11).even(3, 6);
  const hipPx = conditions.hipPx ?? (conditions.noisePx > 0 ? clothing : 0);
  const marks = new MarkSheet(d, filming, fps, { ...conditions, hipPx });
  const bothBladesAtOn = d.chance(0.5);
  for (const { push, off, on, nearest } of picked) {
    const other: Foot = push.foot === "left" ? "right" : "left";
    marks.blade(skater, push.foot, off);
    marks.blade(skater, other, off);
    marks.hips(skater, off);
    marks.blade(skater, push.foot, nearest);
    marks.hips(skater, nearest);
    marks.blade(skater, push.foot, on);
    if (bothBladesAtOn) marks.blade(skater, other, on);
    marks.hips(skater, on);
  }
  const [begin, end] = [picked[0]?.push.off ?? 0, picked[picked.length - 1]?.push.on ?? 0];
  const arms = skater.swings
    .filter((s) => s.time >= begin - 0.05 && s.time <= end)
    .map((s) => ({ ...s, frame: Math.round(s.time * fps) + slip() }))
    .filter(({ side, frame }) => marks.arm(skater, side, frame));
  const frames = [...marks.frames].sort((a, b) => a - b);
  const chosen = follows ? chooseIcePoints(filming, laid.points, frames, follows.points) : null;
  const contacts = picked.map(({ push, ...events }) => ({ foot: push.foot, ...events }));
  return {
    tables: {
      marks: marks.table(),
      events: eventsTable(contacts, arms, skater, filming, fps),
      ice: chosen
        ? iceFramesTable(d, filming, chosen, conditions.noisePx, tapeSaid)
        : iceTable(d, camera, laid.points, conditions.noisePx, tapeSaid),
    },
    filmed: {
      views: chosen
        ? frames.map((frame) => ({ camera: filming(frame), icePoints: chosen.get(frame)! }))
        : [{ camera, icePoints: laid.points }],
      zooms: follows?.zoom === true,
      tapeError,
    },
    viewOf: (frame) => (chosen ? frames.indexOf(frame) : 0),
    follows: follows !== null,
    body: bodyLengths(d, skater),
    ...{ lens, picture: { width: camera.width, height: camera.height }, fps },
    ...{ skater, picked, firstPush, arms },
  };
}

/** A camera whose frames can be asked for in any order: each has draws of its own. */
function following(
  still: Filmer,
  skater: SimSkater,
  fps: number,
  zoom: boolean,
  seeds: readonly number[],
): Filming {
  const frames = new Map<number, Filmer>();
  return (frame) => {
    const known = frames.get(frame);
    if (known) return known;
    const [x, y] = skater.midHip(frame / fps);
    const camera = followCamera(dice(...seeds, frame), still, [x, y, 0.6], zoom);
    frames.set(frame, camera);
    return camera;
  };
}

/** Limbs taped to ± 1 cm; every other skater's crouched hip height is known to ± 3 cm. */
function bodyLengths(d: Dice, skater: SimSkater): Record<string, number> {
  const limbs = {
    upper_arm: skater.upperArm + d.normal(0.01),
    forearm: skater.forearm + d.normal(0.01),
  };
  return d.chance(0.5) ? limbs : { ...limbs, hip_height: skater.hipHeight + d.normal(0.025) };
}
