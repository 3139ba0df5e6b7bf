import type { FilmedTrial, Picked } from "../film.ts";
import type { Vec } from "../lens.ts";
import { layLaneMarks, MIDDLE } from "../placements.ts";
import { dice } from "../random.ts";
import { chooseIcePoints, eventsTable, iceFramesTable, MarkSheet } from "../sheets.ts";
import { type Foot, type Push, simSkater } from "../skater.ts";
import { type Course, type Pan, panCourse } from "./course.ts";

/** A way to pan: the camera, and how fast its frames follow each other. */
export interface PanKind extends Omit<Pan, "from" | "fps" | "readoutS" | "width" | "height"> {
  readonly from: Vec;
  readonly readoutS: number;
  /** Metres before and after the middle that are marked. */
  readonly reach: number;
  readonly fps: readonly number[];
  readonly width?: number;
}

export interface FilmedPan extends FilmedTrial {
  readonly course: Course;
  /** Frames of the clip that are of use, first and last. */
  readonly part: readonly [number, number];
}

/** px of the picture's width for which marks have an SD of 1 px. */
const FULL = 1920;

/**
 * A skater filmed by somebody who pans, and marked.
 *
 * @param usual ice points on each marked frame besides the three key frames with eight; 0 = none
 */
export function filmPan(seed: number, kind: PanKind, who: number, usual: number): FilmedPan {
  const d = dice(seed, who);
  const fps = kind.fps[who % kind.fps.length]!;
  const width = kind.width ?? FULL;
  const readoutS = Math.min(kind.readoutS, 0.97 / fps);
  const pan: Pan = { ...kind, fps, width, height: Math.round((width * 9) / 16), readoutS };
  const points = layLaneMarks(d, 0);
  const skater = simSkater(d, {
    path: who % 2 === 0 ? "narrow" : "wide",
    arms: (["fore-aft", "diagonal", "side-to-side"] as const)[Math.floor(who / 2) % 3]!,
    flat: false,
    middle: MIDDLE,
    restsAt: MIDDLE - kind.reach,
    pushes: 20,
  });
  const inZone = (p: Push, k: number) => {
    const x = (skater.heel(p.foot, p.off)[0] + skater.toe(p.foot, p.off)[0]) / 2;
    return Math.abs(x - MIDDLE) < kind.reach && k >= 2 && k < skater.pushes.length - 3;
  };
  const slip = () => (d.chance(0.2) ? (d.chance(0.5) ? 1 : -1) : 0);
  const firstPush = skater.pushes.findIndex(inZone);
  const picked = skater.pushes.filter(inZone).map((push): Picked => {
    const on = Math.ceil(push.on * fps) + slip();
    const nearest = Math.min(Math.round(push.nearest * fps) + slip(), on);
    return { push, off: Math.floor(push.off * fps) + slip(), on, nearest };
  });
  const frames = picked.flatMap(({ off, on }) => [off, on]);
  const part = [Math.max(0, Math.min(...frames) - 4), Math.max(...frames) + 4] as const;
  const course = panCourse(d, pan, (t) => [skater.midHip(t)[0], 0, 0.6], part[1] + 4);
  const sd = width / FULL;
  const marks = new MarkSheet(d, course.frame, fps, { noisePx: sd, hipPx: d.even(3, 6) * sd });
  for (const { push, off, on, nearest } of picked) {
    const other: Foot = push.foot === "left" ? "right" : "left";
    for (const [frame, both] of [
      [off, true],
      [nearest, false],
      [on, true],
    ] as const) {
      marks.blade(skater, push.foot, frame);
      if (both) marks.blade(skater, other, frame);
      marks.hips(skater, frame);
    }
  }
  const marked = [...marks.frames].sort((a, b) => a - b);
  // The key frames are the same whatever else is marked.
  const ice = dice(seed, who, 5);
  const all = chooseIcePoints(course.frame, points, marked, usual);
  const keys = new Set([marked[0], marked[(marked.length - 1) >> 1], marked[marked.length - 1]]);
  const chosen = new Map([...all].filter(([frame]) => usual > 0 || keys.has(frame)));
  const contacts = picked.map(({ push, ...events }) => ({ foot: push.foot, ...events }));
  return {
    course,
    part,
    tables: {
      marks: marks.table(),
      events: eventsTable(contacts, [], skater, course.frame, fps),
      ice: iceFramesTable(ice, course.frame, chosen, sd, 0),
    },
    filmed: { views: [], zooms: kind.zooms, tapeError: 0 },
    viewOf: () => 0,
    follows: true,
    body: { upper_arm: skater.upperArm, forearm: skater.forearm, hip_height: skater.hipHeight },
    lens: null,
    picture: { width, height: pan.height },
    ...{ fps, skater, picked, firstPush, arms: [] },
  };
}
