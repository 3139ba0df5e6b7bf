import { Straightening } from "../ice/camera/bend.ts";
import type { FrameDoubt, MotionSummary, PicturePoint, SteadyPicture } from "../ice/types.ts";
import { median } from "../statistics/median.ts";
import type { ClipMotion, Picture } from "../study/types.ts";
import { LEAST_FRAMES } from "./judgeMotion.ts";
import { type Piece, pieceOf, piecesOf } from "./pieces.ts";
import {
  type CentreMotion,
  centreMotion,
  chained,
  inverse,
  type PlaneMap,
  reachOf,
  seenAt,
} from "./planeMap.ts";
import { steadyWarnings } from "./steadyWarnings.ts";

const K95 = 1.959963984540054;
/** Of the picture's width: farther from where the clip mostly looks it is a pan, and a lens's bending no longer cancels. */
const MOST_ASIDE = 0.03;

/** Of how far two frames lie apart where each is off by itself by an SD of 1 px each way: the median of a Rayleigh distribution, times √2. */
const MEDIAN_STEP = Math.sqrt(2 * Math.log(2)) * Math.SQRT2;

/** Where ice points were put: frames of those that say so, and whether all do. */
export interface PointFrames {
  readonly frames: readonly number[];
  readonly isSaid: boolean;
}

interface Told {
  /** From this frame's picture to the one that stands still, and back; both straightened where the lens bends them. */
  readonly still: PlaneMap;
  readonly moved: PlaneMap;
  readonly doubt: FrameDoubt;
  readonly asidePx: number;
}

/**
 * A clip's own motion as its measuring uses it. Between knocks the picture that stands still is the mean of all frames that are
 * told; a frame's error against it is that of following it, or, where it is not told, all that the clip shakes.
 *
 * @param points frames on which the ice points stand, by which pieces between knocks are served; null = no ice points of its own
 */
export function steadyPicture(
  motion: ClipMotion,
  picture: Picture,
  points: PointFrames | null,
): SteadyPicture {
  const pieces = piecesOf(motion);
  const lens = motion.bend ? new Straightening(motion.bend, picture) : null;
  const courses = asElsewhere(pieces.map((piece) => courseOf(motion, piece, picture, lens)));
  const inPiece = (frame: number) => courses[pieceOf(pieces, frame)]!;
  const isStill = motion.still !== false;
  const told = (frame: number) => inPiece(frame).told.get(frame);
  const served = servedPieces(pieces, points);
  const summary = summaryOf(motion, courses);
  const unsaid = points === null || isStill ? null : commonDoubt(points, told, courses);
  return {
    isStill,
    still: (p, frame) => through(told(frame)?.still, p, lens),
    moved: (p, frame) => through(told(frame)?.moved, p, lens),
    reachPx: reachOf(picture),
    doubt: (frame) => (isStill ? NONE : (told(frame)?.doubt ?? inPiece(frame).shake)),
    common: unsaid,
    whyNot: (frame) => (isStill ? null : whyNot(frame, { motion, pieces, served, points, picture, told })),
    summary,
    warnings: steadyWarnings(motion, summary, { steady: courses.some((c) => c.isSteadyMove) }),
  };
}

const NONE: FrameDoubt = { shiftPx: 0, turnPx: 0 };

function through(map: PlaneMap | undefined, p: PicturePoint, lens: Straightening | null): PicturePoint {
  if (!map) return p;
  const { x, y } = seenAt(map, p.xPx, p.yPx, lens);
  return { xPx: x, yPx: y };
}

interface Course {
  readonly told: ReadonlyMap<number, Told>;
  /** About the mean: what is left open of a frame that is not told. */
  readonly shake: FrameDoubt;
  /** It moves on rather than shakes. */
  readonly isSteadyMove: boolean;
}

function courseOf(
  { first, frames }: ClipMotion,
  { from, to }: Piece,
  picture: Picture,
  lens: Straightening | null,
): Course {
  const found = frames.flatMap((entry, k) => {
    const frame = first + k;
    return entry && frame >= from && frame < to ? [{ frame, entry }] : [];
  });
  if (found.length === 0) return { told: new Map(), shake: NONE, isSteadyMove: false };
  const mean = [0, 1, 2, 3, 4, 5, 6, 7]
    .map((k) => found.reduce((sum, { entry }) => sum + entry[k]!, 0) / found.length)
    .concat(1);
  const back = inverse(mean);
  const reach = reachOf(picture);
  const about: CentreMotion[] = [];
  const told = new Map(
    found.map(({ frame, entry }) => {
      const moved = chained([...entry.slice(0, 8), 1], back);
      const at = centreMotion(moved, picture, lens);
      about.push(at);
      const doubt = { shiftPx: entry[8]!, turnPx: entry[9]! };
      return [frame, { moved, still: inverse(moved), doubt, asidePx: Math.hypot(at.dxPx, at.dyPx) }];
    }),
  );
  const rms = (of: (m: CentreMotion) => number) =>
    Math.sqrt(about.reduce((sum, m) => sum + of(m), 0) / Math.max(1, about.length - 1));
  const shake = {
    shiftPx: rms((m) => (m.dxPx ** 2 + m.dyPx ** 2) / 2),
    turnPx: rms((m) => ((((m.turnDeg * Math.PI) / 180) ** 2 + (m.scale - 1) ** 2) / 2) * reach ** 2),
  };
  const steps = about.slice(1).map((m, k) => Math.hypot(m.dxPx - about[k]!.dxPx, m.dyPx - about[k]!.dyPx));
  const step = steps.length === 0 ? 0 : median(steps) / MEDIAN_STEP;
  return { told, shake, isSteadyMove: step < shake.shiftPx / 2 };
}

/** Between knocks where hardly a frame tells, the picture moves as much as in the rest of the clip. */
function asElsewhere(courses: readonly Course[]): readonly Course[] {
  const tells = ({ told }: Course) => told.size >= LEAST_FRAMES;
  const known = courses.filter(tells);
  const most = (course: Course, of: (d: FrameDoubt) => number) =>
    Math.max(...[course, ...known].map(({ shake }) => of(shake)));
  return courses.map((course) => {
    if (tells(course)) return course;
    const shiftPx = most(course, (d) => d.shiftPx);
    return { ...course, shake: { shiftPx, turnPx: most(course, (d) => d.turnPx) } };
  });
}

/** Pieces between knocks that have two ice points or more; all where nothing knocked, none where it isn't said on which frames the points are. */
function servedPieces(pieces: readonly Piece[], points: PointFrames | null): readonly boolean[] {
  if (pieces.length === 1) return [true];
  return pieces.map(
    (_, k) => points?.isSaid === true && points.frames.filter((f) => pieceOf(pieces, f) === k).length >= 2,
  );
}

/** Where some ice points stand on a frame that isn't told, or nobody said on which, all of them may lie aside alike. */
function commonDoubt(
  { frames, isSaid }: PointFrames,
  told: (frame: number) => Told | undefined,
  courses: readonly Course[],
): FrameDoubt | null {
  if (isSaid && frames.every((f) => told(f))) return null;
  const most = (of: (d: FrameDoubt) => number) => Math.max(...courses.map((c) => of(c.shake)));
  return { shiftPx: most((d) => d.shiftPx), turnPx: most((d) => d.turnPx) };
}

function summaryOf({ still, noisePx, frames, bumps }: ClipMotion, courses: readonly Course[]): MotionSummary {
  const all = courses.flatMap((c) => [...c.told.values()]);
  const counts = courses.map((c) => c.told.size);
  const told = counts.reduce((sum, n) => sum + n, 0);
  const mean = (of: (k: number) => number) =>
    Math.sqrt(courses.reduce((sum, _, k) => sum + counts[k]! * of(k) ** 2, 0) / Math.max(1, told));
  const value = mean((k) => courses[k]!.shake.shiftPx);
  const noise = noisePx ?? 0;
  const why = "Too little of the clip's background can be told.";
  return {
    still,
    jitterPx:
      still === null
        ? { value: null, why }
        : still
          ? { value: 0, u95: K95 * noise }
          : { value, u95: K95 * Math.hypot(value / Math.sqrt(2 * Math.max(1, told)), noise) },
    leftPx:
      all.length === 0 ? null : Math.sqrt(all.reduce((sum, t) => sum + t.doubt.shiftPx ** 2, 0) / all.length),
    told,
    frames: frames.length,
    bumps,
  };
}

interface Asked {
  readonly motion: ClipMotion;
  readonly pieces: readonly Piece[];
  readonly served: readonly boolean[];
  readonly points: PointFrames | null;
  readonly picture: Picture;
  readonly told: (frame: number) => Told | undefined;
}

function whyNot(frame: number, { motion, pieces, served, points, picture, told }: Asked): string | null {
  const at = pieceOf(pieces, frame);
  const knock = motion.bumps.find((b) => isAtKnock(b.frame, frame));
  if (knock)
    return `The camera was knocked around frame ${knock.frame}, so nothing is placed on frame ${frame}.`;
  if (!served[at]) {
    if (points === null)
      return `The camera was knocked at frame ${motion.bumps.map((b) => b.frame).join(" and ")}, and this clip has no ice points of its own. Put two or more of them on a frame before it and on one after it, far apart.`;
    if (!points.isSaid)
      return `The camera was knocked at frame ${motion.bumps.map((b) => b.frame).join(" and ")}, and nobody said on which frame the ice points were put. Press them again, on frames before and after it.`;
    const nearest = at > 0 ? motion.bumps[at - 1]!.frame : motion.bumps[0]!.frame;
    return `The camera was knocked at frame ${nearest}, and the ice points were put on the other side of it, so they do not serve frame ${frame}. Put two or more of them on a frame ${at > 0 ? "after" : "before"} it, far apart.`;
  }
  const aside = told(frame)?.asidePx ?? 0;
  return aside > MOST_ASIDE * picture.width
    ? `On frame ${frame} the picture lies ${aside.toFixed(0)} px aside of where it mostly does: the camera pans. Say so (“The camera pans or zooms”) and mark eight ice points on each of three frames, the first and last that are measured among them; the background carries them to the others.`
    : null;
}

/** A knock takes its time, and is found within two frames. */
function isAtKnock(bump: number, frame: number): boolean {
  return frame >= bump - 2 && frame <= bump + 1;
}
