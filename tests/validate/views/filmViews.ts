import type { Conditions } from "../film.ts";
import { inPicture, see, type Vec } from "../lens.ts";
import { layIcePoints, MIDDLE, type PlacedIcePoint, type Placement, standCamera } from "../placements.ts";
import { type Dice, dice } from "../random.ts";
import { eventsTable, iceTable, MarkSheet } from "../sheets.ts";
import { type Foot, type Push, type SimSkater, simSkater } from "../skater.ts";

/*
 * One simulated skater filmed by several cameras at once, each with its own clock and rate, each marked by itself. Skater,
 * cameras and hand are those of the validation (film.ts): no code of src.
 */

/** One camera of several. */
export interface ViewWish {
  readonly placement: Placement;
  readonly fps: number;
  /** Seconds that its clock shows when the skater's is at 0; it must see no frame before its own 0. */
  readonly ahead: number;
  /** Seconds of its clock in one of the skater's. */
  readonly rate?: number;
  readonly withoutHips?: boolean;
  /** Whether anybody says which joints are toward this camera. */
  readonly withoutAnswers?: boolean;
}

/** What one camera's user has. */
export interface FilmedView {
  readonly tables: { readonly marks: string; readonly events: string; readonly ice: string };
  readonly picture: { readonly width: number; readonly height: number };
  readonly fps: number;
  /** Which of the skater's pushes it shows, and in which of its frames. */
  readonly picked: ReadonlyMap<
    number,
    { readonly off: number; readonly on: number; readonly nearest: number }
  >;
  readonly arms: readonly {
    readonly side: Foot;
    readonly end: "front" | "back";
    readonly frame: number;
    readonly swing: number;
  }[];
}

export interface FilmedViews {
  readonly views: readonly FilmedView[];
  readonly body: Readonly<Record<string, number>>;
  /** In the first view's clock. */
  readonly skater: SimSkater;
  /** What is to be added to each view's clock, at the middle of the trial, to give the first one's. */
  readonly offsets: readonly number[];
  readonly middle: number;
}

/** Skater number `who` before several cameras; null where one of them cannot see enough of the lane. */
export function filmViews(
  seed: number,
  wishes: readonly ViewWish[],
  who: number,
  conditions: Conditions,
): FilmedViews | null {
  const d = dice(seed, who, wishes.length);
  const [roughly, tapeSd] = conditions.tape;
  const laid = wishes.map(({ placement }, v) => {
    const own = dice(seed, who, v, 7);
    const camera = standCamera(own, placement, { k1: conditions.lens ?? 0, k2: 0 });
    const tapeError = own.chance(roughly) ? tapeSd : 0;
    const points = layIcePoints(own, camera, tapeError);
    return points && { ...points, camera, tapeError };
  });
  if (laid.some((one) => one === null)) return null;
  const from = Math.max(...laid.map((one) => one!.zone[0]));
  const to = Math.min(...laid.map((one) => one!.zone[1]));
  if (to - from < 3) return null;
  const skater = simSkater(d, {
    path: who % 2 === 0 ? "narrow" : "wide",
    arms: (["fore-aft", "diagonal", "side-to-side"] as const)[Math.floor(who / 2) % 3]!,
    flat: conditions.flat,
    middle: Math.abs(from + to - 2 * MIDDLE) < 8 ? (from + to) / 2 : MIDDLE,
    restsAt: from + 0.5,
    pushes: 14,
    ...conditions.skater,
  });
  const first = wishes[0]!;
  const clockOf = (wish: ViewWish) => (t: number) => wish.ahead + (wish.rate ?? 1) * t;
  const skaterTime = (wish: ViewWish) => (own: number) => (own - wish.ahead) / (wish.rate ?? 1);
  const views = wishes.map((wish, v) => {
    const shown = retimed(skater, clockOf(wish), skaterTime(wish));
    const { zone, camera, points, tapeError } = laid[v]!;
    return filmFrom(dice(seed, who, v, 13), { wish, shown, zone, camera, points, tapeError }, conditions);
  });
  const middle = skater.pushes[7]!.off;
  return {
    views,
    body: bodyLengths(d, skater),
    skater: retimed(skater, clockOf(first), skaterTime(first)),
    offsets: wishes.map((wish) => clockOf(first)(middle) - clockOf(wish)(middle)),
    middle,
  };
}

/** The same skater with all times by another clock. */
function retimed(s: SimSkater, to: (t: number) => number, back: (own: number) => number): SimSkater {
  const at = (f: (foot: Foot, t: number) => Vec) => (foot: Foot, own: number) => f(foot, back(own));
  return {
    ...s,
    pushes: s.pushes.map(
      (p): Push => ({ ...p, landed: to(p.landed), off: to(p.off), on: to(p.on), nearest: to(p.nearest) }),
    ),
    course: (own) => s.course(back(own)),
    midHip: (own) => s.midHip(back(own)),
    heel: at(s.heel),
    toe: at(s.toe),
    hip: at(s.hip),
    shoulder: at(s.shoulder),
    elbow: at(s.elbow),
    wrist: at(s.wrist),
    swings: s.swings.map((swing) => ({ ...swing, time: to(swing.time) })),
  };
}

interface Filming {
  readonly wish: ViewWish;
  readonly shown: SimSkater;
  readonly zone: readonly [number, number];
  readonly camera: ReturnType<typeof standCamera>;
  readonly points: readonly PlacedIcePoint[];
  readonly tapeError: number;
}

function filmFrom(
  d: Dice,
  { wish, shown, zone, camera, points, tapeError }: Filming,
  conditions: Conditions,
): FilmedView {
  const { fps } = wish;
  const [from, to] = zone;
  const slip = () => (d.chance(conditions.slips) ? (d.chance(0.5) ? 1 : -1) : 0);
  const seen = (p: Push, k: number) => {
    const [heel, toe] = [shown.heel(p.foot, p.off), shown.toe(p.foot, p.off)];
    const x = (heel[0] + toe[0]) / 2;
    const inZone = x > from - 0.3 && x < to + 0.3;
    const inFrame = [heel, toe].every((end) => inPicture(camera, see(camera, end), 5));
    return inZone && inFrame && k >= (shown.standsBefore ?? 2) && k < shown.pushes.length - 3;
  };
  const picked = new Map(
    shown.pushes.flatMap((push, k) => {
      if (!seen(push, k)) return [];
      const on = Math.ceil(push.on * fps) + slip();
      const off = Math.floor(push.off * fps) + slip();
      return [[k, { off, on, nearest: Math.min(Math.round(push.nearest * fps) + slip(), on) }] as const];
    }),
  );
  const hipPx = conditions.hipPx ?? (conditions.noisePx > 0 ? d.even(3, 6) : 0);
  const marks = new MarkSheet(d, () => camera, fps, { ...conditions, hipPx });
  const bothBladesAtOn = d.chance(0.5);
  for (const [k, { off, on, nearest }] of picked) {
    const { foot } = shown.pushes[k]!;
    const other: Foot = foot === "left" ? "right" : "left";
    for (const frame of [off, nearest, on]) {
      marks.blade(shown, foot, frame);
      if (frame === off || (frame === on && bothBladesAtOn)) marks.blade(shown, other, frame);
      if (!wish.withoutHips) marks.hips(shown, frame);
    }
  }
  const frames = [...picked.values()];
  const [begin, end] = [(frames[0]?.off ?? 0) / fps, (frames[frames.length - 1]?.on ?? 0) / fps];
  const arms = shown.swings
    .map((s, swing) => ({ ...s, swing }))
    .filter((s) => s.time >= begin - 0.05 && s.time <= end)
    .map((s) => ({ ...s, frame: Math.round(s.time * fps) + slip() }))
    .filter(({ side, frame }) => marks.arm(shown, side, frame));
  const contacts = [...picked].map(([k, events]) => ({ foot: shown.pushes[k]!.foot, ...events }));
  const events = eventsTable(contacts, arms, shown, () => camera, fps);
  return {
    tables: {
      marks: marks.table(),
      events: wish.withoutAnswers ? events.replace(/,(yes|no),(yes|no)$/gm, ",,") : events,
      ice: iceTable(d, camera, points, conditions.noisePx, tapeError),
    },
    picture: { width: camera.width, height: camera.height },
    fps,
    picked,
    arms,
  };
}

function bodyLengths(d: Dice, skater: SimSkater): Record<string, number> {
  const limbs = { upper_arm: skater.upperArm + d.normal(0.01), forearm: skater.forearm + d.normal(0.01) };
  return d.chance(0.5) ? limbs : { ...limbs, hip_height: skater.hipHeight + d.normal(0.025) };
}
