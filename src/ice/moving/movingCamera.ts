import type { FramePoints, IcePoint, Lens, Picture } from "../../study/types.ts";
import { type Camera, nudged, project } from "../camera/camera.ts";
import { type Centre, centreOf } from "../camera/fitCamera.ts";
import type { LearnedLens } from "../camera/learnedLens.ts";
import { distort, isStraight } from "../camera/lens.ts";
import type { PicturePoint } from "../types.ts";
import type { Effort } from "./effort.ts";
import { type Group, type GroupedFit, groupedLeastSquares, type Spread } from "./groupedLeastSquares.ts";

/** What is taken to change from frame to frame, and what of the lens is to be found. */
export interface MovingModel {
  /** Focal length of its own for each frame. */
  readonly zooms: boolean;
  /** Whether the principal point is found too; else it stays where the start has it. */
  readonly findsCentre: boolean;
  readonly lens: Lens;
  /** How many of k1, k2 are found from the points, beginning from `lens`. */
  readonly findLens: 0 | 1 | 2;
  /** Of k1, where the points don't show it: what other clips of the same camera have shown, or what ordinary lenses are. */
  readonly lensPrior?: { readonly k1: number; readonly sd: number; readonly learned?: LearnedLens };
  /** Whether the shutter is found: it is not where nothing tells how fast the picture moves. */
  readonly rolls?: boolean;
}

export interface MovingFit {
  readonly model: MovingModel;
  /** Most likely camera of each frame, in the order of the frames. */
  readonly cameras: readonly Camera[];
  /** Where their principal point was to be expected. */
  readonly centre: Centre;
  readonly lens: Lens;
  /** Of the time from frame to frame, what the shutter takes from the first row to the last. */
  readonly shutter: number;
  readonly spread: Spread;
  /** Per frame, two numbers a point: predicted minus marked, px. */
  readonly offPx: readonly (readonly number[])[];
  /** Sum of squared residuals in standard deviations, by frame and in all (taped places included). */
  readonly chiSquares: readonly number[];
  readonly chiSquare: number;
  readonly observations: number;
  readonly freedom: number;
}

/** Ice points of several frames, and the SD of one mark where a point says nothing of its own. */
export interface MarkedFrames {
  readonly frames: readonly FramePoints[];
  readonly picture: Picture;
  readonly markSdPx: number;
  /** Where the background tells how fast the picture moves: what a shutter of all the time between frames does to a point, px. */
  readonly slant?: (frame: number, point: PicturePoint) => readonly [number, number];
  /** What is known of the shutter before the points are asked, as a share of the time between frames, and its SD. */
  readonly shutter?: Shutter;
}

interface Shutter {
  readonly share: number;
  readonly sd: number;
}

/**
 * A shutter of which nothing is known: phones take 10 to 30 ms from the first row to the last, of 8 to 33 ms from
 * frame to frame; some cameras read all rows at once. [judgement]
 */
const UNKNOWN: Shutter = { share: 0.4, sd: 0.4 };
/** SD of a share that somebody states: a millisecond of the 16 between frames. [judgement] */
const STATED_SD = 0.06;

export function shutterOf(stated: number | undefined): Shutter {
  return stated === undefined ? UNKNOWN : { share: stated, sd: STATED_SD };
}

/**
 * Order of the shared parameters: log focal length (unless it zooms), place, principal point where it is found (in standard
 * deviations of what is known of it), lens, shutter, then taped places.
 */
export function layout(model: MovingModel) {
  const place = model.zooms ? 0 : 1;
  const centre = place + 3;
  const lens = centre + (model.findsCentre ? 2 : 0);
  const roll = lens + model.findLens;
  return { place, centre, lens, roll, taped: roll + (model.rolls ? 1 : 0) };
}

/**
 * The most likely tripod place, focal length, principal point and directions for all frames together: the place, the
 * principal point (which is about where it is expected) and, unless the camera zooms, the focal length are the same in all of
 * them. A point's taped place errs the same way in every frame in which it is seen. Null when the points cannot tell these apart, or the effort is spent before the end.
 *
 * @param start a camera for each frame, not far off, all at one place
 * @param rounds "one step" shows what more parameters would gain, from a start that is the solution without them
 */
export function fitMovingCamera(
  { frames, picture, markSdPx, slant, shutter: known = UNKNOWN }: MarkedFrames,
  start: readonly Camera[],
  model: MovingModel,
  effort: Effort,
  rounds: "to the end" | "one step" = "to the end",
): MovingFit | null {
  const { centre: centreAt, lens: lensNumber, roll: rollAt, taped } = layout(model);
  const centre = centreOf(picture);
  const tapes = tapedPlaces(frames, taped);
  const sharedCount = taped + 2 * tapes.count;
  let base = start;
  let lens = model.lens;
  let shutter = model.rolls ? known.share : 0;
  const slants = frames.map(({ frame, points }) =>
    points.map((p) => (model.rolls && slant ? slant(frame, p) : UNSLANTED)),
  );
  let offsets = new Array<number>(2 * tapes.count).fill(0);
  let fit: GroupedFit | null = null;
  // Turns are measured from the base, so begin again from the solution: then they are about zero.
  for (let round = 0; round < (rounds === "one step" ? 1 : 2); round++) {
    const [from, through, rolled] = [base, lens, shutter];
    const groups: Group[] = frames.map((f, k) => ({
      own: new Array<number>(model.zooms ? 4 : 3).fill(0),
      uses: [...upTo(taped), ...f.points.flatMap((p) => tapes.numbersOf(p))],
      residuals: (shared, own) => {
        effort.spend(f.points.length);
        const camera = cameraAt(from[k]!, model, centre, shared, own);
        const seen = lensAt(through, model, shared);
        const rolls = model.rolls ? rolled + shared[rollAt]! : 0;
        // A loop into one list: it is worked out thousands of times a fit.
        const off = new Array<number>(2 * f.points.length);
        for (let m = 0; m < f.points.length; m++) {
          const p = f.points[m]!;
          const [x, y] = tapes.placeOf(p, shared);
          const [u, v] = see(camera, seen, x, y);
          const [du, dv] = slants[k]![m]!;
          const sd = p.uPx ?? markSdPx;
          off[2 * m] = (u + rolls * du - p.xPx) / sd;
          off[2 * m + 1] = (v + rolls * dv - p.yPx) / sd;
        }
        return off;
      },
    }));
    if (model.findsCentre) {
      const { cx, cy } = from[0]!;
      groups.push({
        own: [],
        uses: [centreAt, centreAt + 1],
        residuals: (shared) => [
          (cx - centre.cx) / centre.sdPx + shared[centreAt]!,
          (cy - centre.cy) / centre.sdPx + shared[centreAt + 1]!,
        ],
      });
    }
    const { lensPrior } = model;
    if (lensPrior)
      groups.push({
        own: [],
        uses: [lensNumber],
        residuals: (shared) => [(through.k1 + shared[lensNumber]! - lensPrior.k1) / lensPrior.sd],
      });
    if (model.rolls)
      groups.push({
        own: [],
        uses: [rollAt],
        residuals: (shared) => [(rolled + shared[rollAt]! - known.share) / known.sd],
      });
    if (tapes.count > 0) {
      groups.push({
        own: [],
        uses: upTo(sharedCount).slice(taped),
        residuals: (shared) => shared.slice(taped),
      });
    }
    fit = groupedLeastSquares(
      groups,
      [...new Array<number>(taped).fill(0), ...offsets],
      rounds === "one step" ? 1 : undefined,
      () => !effort.isSpent,
    );
    if (!fit) return null;
    const { shared, own } = fit;
    base = from.map((camera, k) => cameraAt(camera, model, centre, shared, own[k]!));
    lens = lensAt(through, model, shared);
    shutter = model.rolls ? rolled + shared[rollAt]! : 0;
    offsets = shared.slice(taped);
  }
  if (!fit?.spread) return null;
  const observations = frames.reduce((sum, f) => sum + 2 * f.points.length, 0);
  const shared = [...new Array<number>(taped).fill(0), ...offsets];
  return {
    model,
    cameras: base,
    centre,
    lens,
    shutter,
    spread: fit.spread,
    offPx: frames.map((f, k) =>
      f.points.flatMap((p, m) => {
        const [u, v] = see(base[k]!, lens, ...tapes.placeOf(p, shared));
        const [du, dv] = slants[k]![m]!;
        return [u + shutter * du - p.xPx, v + shutter * dv - p.yPx];
      }),
    ),
    chiSquares: fit.residuals.slice(0, frames.length).map((r) => r.reduce((sum, v) => sum + v * v, 0)),
    chiSquare: fit.sumOfSquares,
    observations,
    // The taped places, the principal point, a learned lens and the shutter are observations of their own, as many as their parameters.
    freedom:
      observations -
      (sharedCount -
        2 * tapes.count -
        (model.findsCentre ? 2 : 0) -
        (model.lensPrior ? 1 : 0) -
        (model.rolls ? 1 : 0)) -
      frames.length * (model.zooms ? 4 : 3),
  };
}

const UNSLANTED = [0, 0] as const;

/** Where the camera, looking through its lens, sees a point of the ice; px. */
export function see(camera: Camera, lens: Lens, x: number, y: number, z = 0): readonly [number, number] {
  const [u, v] = project(camera, x, y, z);
  return isStraight(lens) ? [u, v] : distort(lens, camera, u, v);
}

function cameraAt(
  base: Camera,
  model: MovingModel,
  { sdPx }: Centre,
  shared: readonly number[],
  own: readonly number[],
): Camera {
  const { place, centre } = layout(model);
  const zoom = model.zooms ? own[3]! : shared[0]!;
  return nudged(
    base,
    zoom,
    [own[0]!, own[1]!, own[2]!],
    [shared[place]!, shared[place + 1]!, shared[place + 2]!],
    model.findsCentre ? [sdPx * shared[centre]!, sdPx * shared[centre + 1]!] : undefined,
  );
}

function lensAt(base: Lens, model: MovingModel, shared: readonly number[]): Lens {
  if (model.findLens === 0) return base;
  const { lens } = layout(model);
  const k2 = (base.k2 ?? 0) + (model.findLens === 2 ? shared[lens + 1]! : 0);
  return { k1: base.k1 + shared[lens]!, k2 };
}

function upTo(count: number): number[] {
  return Array.from({ length: count }, (_, k) => k);
}

/** The points whose taped place is uncertain: the same place in several frames is one point. */
export function tapedPlaces(frames: readonly Pick<FramePoints, "points">[], from: number) {
  const places = new Map<string, number>();
  const firstOf = new Map<IcePoint, number>();
  for (const { points } of frames) {
    for (const p of points) {
      if (!p.u) continue;
      const place = `${p.x.toFixed(6)} ${p.y.toFixed(6)}`;
      if (!places.has(place)) places.set(place, places.size);
      firstOf.set(p, from + 2 * places.get(place)!);
    }
  }
  return {
    count: places.size,
    /** Numbers of the parameters that move this point. */
    numbersOf: (p: IcePoint): readonly number[] => {
      const at = firstOf.get(p);
      return at === undefined ? [] : [at, at + 1];
    },
    placeOf: (p: IcePoint, shared: readonly number[]): readonly [number, number] => {
      const at = firstOf.get(p);
      return at === undefined ? [p.x, p.y] : [p.x + p.u! * shared[at]!, p.y + p.u! * shared[at + 1]!];
    },
  };
}
