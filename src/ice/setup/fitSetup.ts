import { Matrix } from "ml-matrix";
import type { IcePoint, Lens, Picture } from "../../study/types.ts";
import { type Camera, nudged, ray } from "../camera/camera.ts";
import { centreOf, ORDINARY_LENS } from "../camera/fitCamera.ts";
import { atFocal, besideOwn, isSameZoom, isSettled, type LearnedLens, mayBe } from "../camera/learnedLens.ts";
import { chooseModel, focalDoubt, sdOfLens } from "../moving/chooseModel.ts";
import { type Group, groupedLeastSquares } from "../moving/groupedLeastSquares.ts";
import { layout, type MovingFit, type MovingModel, see, tapedPlaces } from "../moving/movingCamera.ts";
import { checkDistinct, checkInPicture, checkPointNumbers } from "../points/checkIcePoints.ts";
import type { SetupClip, SetupClips } from "./setupClips.ts";
import { clipNumber, undetermined, withoutPoints, zoomed } from "./setupRefusals.ts";

/** SD of where the picture lies, by somebody's look at squares drawn on their places: about twice a hand's own at pressing one. [judgement] */
const LOOKED_PX = 3;
/** The same by word, in widths of the picture: nothing is known. Such a clip is drawn where the other one looks, and tells the others nothing. */
const SAID_WIDTHS = 1;
/** Fewer places on the ice can't show that one of them is wrong: then each is as unsure as `unseenBlunders` has it. */
const ENOUGH = 6;
const UNCHECKED_PLACE = 0.12;
/** Of fitting a lens that lines tell; two or three are the rule. */
const MOST_ROUNDS = 8;

/** The joint fit of all clips of a set-up: one place, one lens, a direction of its own for each clip. */
export interface SetupFit {
  readonly clips: readonly SetupClip[];
  /** Its own parameters are all shared ones; clip k is its k-th frame. */
  readonly fit: MovingFit;
  /** For each clip: predicted minus marked of its points (px), and of what is known of it by another clip, in SD. */
  readonly likeMisses: readonly (readonly number[])[];
  /** Where the parameters of each clip's direction begin. */
  readonly turnsAt: (clip: number) => number;
  readonly picture: Picture;
  /** The lens of other clips of the same camera that was begun from; null = the points show it, or nobody knows. */
  readonly learned: LearnedLens | null;
}

/**
 * The most likely camera place, focal length, principal point and lens of all clips together, with a small turn of each clip's
 * own, from the ice points marked on any of them and from where the background of one is seen in another.
 *
 * A lens that the points do not show is that which other clips of this camera have shown, or left as open as ordinary ones are; one that they
 * show less well is weighed with it. A clip without two points of its own needs to be known by another clip; those of which nothing is
 * known are left out.
 *
 * @throws {MeasureError} `set-up-without-points`; `set-up-zoomed` where the clips have not one focal length; see `chooseModel`
 */
export function fitSetup(setup: SetupClips, picture: Picture, markSdPx: number, given?: Lens): SetupFit {
  const clips = placed(setup.clips);
  const all = clips.flatMap((c) => c.points);
  const few = new Set(all.map(({ x, y }) => `${x.toFixed(3)} ${y.toFixed(3)}`)).size < ENOUGH;
  const points = clips.map((c) =>
    c.points.map((p) => (few ? { ...p, u: Math.hypot(p.u ?? 0, UNCHECKED_PLACE) } : p)),
  );
  for (const c of clips) {
    checkPointNumbers(c.points);
    checkDistinct(c.points);
    checkInPicture(c.points, picture);
  }
  const marked = points.flatMap((own, k) => (own.length >= 2 ? [{ frame: k, points: own }] : []));
  if (!marked.some((f) => f.points.length >= 4)) throw withoutPoints(setup);
  const lens = given ?? setup.lens ?? null;
  const first = chooseModel({ frames: marked, picture, markSdPx }, lens);
  if (first.model.zooms)
    throw zoomed(
      first,
      marked.map((f) => clipNumber(setup, clips[f.frame]!)),
    );
  const findLens = lens ? 0 : Math.max(1, first.model.findLens);
  const isUnseen = !lens && (first.model.findLens === 0 || first.model.lensPrior !== undefined);
  const cameras = startsOf(clips, new Map(marked.map((f, k) => [f.frame, first.cameras[k]!])));
  const ordinary = isUnseen ? { k1: 0, sd: ORDINARY_LENS } : null;
  const through = (learned: LearnedLens | null, start: readonly Camera[]) => {
    const model: MovingModel = {
      zooms: false,
      findsCentre: true,
      lens: learned ? { k1: learned.k1, k2: learned.k2 } : first.lens,
      findLens: findLens as 0 | 1 | 2,
    };
    const lensPrior = learned ? { k1: learned.k1, sd: learned.sdK1 } : ordinary;
    return jointFit({ clips, points, picture, markSdPx, model, learned, lensPrior }, start);
  };
  let learned = lens ? null : learnedFor(setup, first, isUnseen);
  let found = through(learned, cameras);
  // Of lines the focal length says what their bend comes to, and the bend what the focal length is.
  for (let round = 0; isUnseen && learned?.byLines !== undefined && round < MOST_ROUNDS; round++) {
    const nearer = atFocal(setup.learned!, found.fit.cameras[0]!.focalPx, focalDoubt(found.fit));
    if (!nearer || isSettled(nearer, learned)) break;
    learned = nearer;
    found = through(learned, found.fit.cameras);
  }
  return found;
}

/** The lens of other clips of the camera, where the points of these don't show theirs, or less well. */
function learnedFor(setup: SetupClips, first: MovingFit, isUnseen: boolean): LearnedLens | null {
  const focalU = focalDoubt(first);
  const learned = setup.learned && atFocal(setup.learned, first.cameras[0]!.focalPx, focalU);
  if (!learned || !isSameZoom(learned, first.cameras[0]!.focalPx, focalU)) return null;
  if (isUnseen)
    return first.model.findLens === 0 || mayBe(learned, first.lens.k1, sdOfLens(first)) ? learned : null;
  return first.model.findLens === 1 ? besideOwn(learned, first.lens.k1, sdOfLens(first)) : null;
}

interface Joint {
  readonly clips: readonly SetupClip[];
  readonly points: readonly (readonly IcePoint[])[];
  readonly picture: Picture;
  readonly markSdPx: number;
  readonly model: MovingModel;
  readonly learned: LearnedLens | null;
  /** What is held of k1 before the points are asked; null = nothing. */
  readonly lensPrior: { readonly k1: number; readonly sd: number } | null;
}

function jointFit(
  { clips, points, picture, markSdPx, model, learned, lensPrior }: Joint,
  start: readonly Camera[],
): SetupFit {
  const centre = centreOf(picture);
  const at = layout(model);
  const tapes = tapedPlaces(
    points.map((own) => ({ points: own })),
    at.taped,
  );
  const turns = at.taped + 2 * tapes.count;
  const turnsAt = (clip: number) => turns + 3 * clip;
  const count = turnsAt(clips.length);
  const range = (from: number, to: number) => Array.from({ length: to - from }, (_, k) => from + k);
  const lensOf = (base: Lens, p: readonly number[]): Lens =>
    model.findLens === 0
      ? base
      : { k1: base.k1 + p[at.lens]!, k2: (base.k2 ?? 0) + (model.findLens === 2 ? p[at.lens + 1]! : 0) };
  const cameraOf = (base: Camera, p: readonly number[], clip: number): Camera => {
    const t = turnsAt(clip);
    return nudged(
      base,
      p[0]!,
      [p[t]!, p[t + 1]!, p[t + 2]!],
      [p[at.place]!, p[at.place + 1]!, p[at.place + 2]!],
      [centre.sdPx * p[at.centre]!, centre.sdPx * p[at.centre + 1]!],
    );
  };
  const indexOf = new Map(clips.map((c, k) => [c.trial, k]));
  let base = start;
  let lens = model.lens;
  let offsets = new Array<number>(2 * tapes.count).fill(0);
  let found: ReturnType<typeof groupedLeastSquares> = null;
  // Turns are measured from the base, so begin again from the solution: then they are about zero.
  for (let round = 0; round < 2; round++) {
    const [from, through] = [base, lens];
    const seen: Group[] = points.map((own, k) => ({
      own: [],
      uses: [
        ...range(0, at.taped),
        ...own.flatMap((p) => tapes.numbersOf(p)),
        ...range(turnsAt(k), turnsAt(k) + 3),
      ],
      residuals: (p) =>
        own.flatMap((point) => {
          const [u, v] = see(cameraOf(from[k]!, p, k), lensOf(through, p), ...tapes.placeOf(point, p));
          const sd = point.uPx ?? markSdPx;
          return [(u - point.xPx) / sd, (v - point.yPx) / sd];
        }),
    }));
    const alike: Group[] = clips.map(({ like }, k) => {
      const other = like && indexOf.get(like.trial);
      if (!like || other === undefined) return { own: [], uses: [], residuals: () => [] };
      return {
        own: [],
        uses: [
          0,
          at.centre,
          at.centre + 1,
          ...range(turnsAt(k), turnsAt(k) + 3),
          ...range(turnsAt(other), turnsAt(other) + 3),
        ],
        residuals: (p) => {
          const to = backgroundIn(cameraOf(from[other]!, p, other), cameraOf(from[k]!, p, k), picture);
          const sd = like.uPx ?? (like.by === "said" ? SAID_WIDTHS * picture.width : LOOKED_PX);
          return [
            (to.dxPx - (like.dxPx ?? 0)) / sd,
            (to.dyPx - (like.dyPx ?? 0)) / sd,
            ((to.turnDeg - (like.turnDeg ?? 0)) * Math.PI * reachOf(picture)) / 180 / sd,
          ];
        },
      };
    });
    const { cx, cy } = from[0]!;
    const known: Group = {
      own: [],
      uses: [at.centre, at.centre + 1, ...(lensPrior === null ? [] : [at.lens]), ...range(at.taped, turns)],
      residuals: (p) => [
        (cx - centre.cx) / centre.sdPx + p[at.centre]!,
        (cy - centre.cy) / centre.sdPx + p[at.centre + 1]!,
        ...(lensPrior === null ? [] : [(through.k1 + p[at.lens]! - lensPrior.k1) / lensPrior.sd]),
        ...p.slice(at.taped, turns),
      ],
    };
    const zeros = (n: number) => new Array<number>(n).fill(0);
    const begin = [...zeros(at.taped), ...offsets, ...zeros(3 * clips.length)];
    found = groupedLeastSquares([...seen, ...alike, known], begin);
    if (!found) break;
    const p = found.shared;
    base = from.map((camera, k) => cameraOf(camera, p, k));
    lens = lensOf(through, p);
    offsets = p.slice(at.taped, turns);
  }
  if (!found?.spread) throw undetermined();
  const placesNow = [...new Array<number>(at.taped).fill(0), ...offsets];
  const observations = 2 * points.reduce((sum, own) => sum + own.length, 0);
  const alikes = found.residuals.slice(clips.length, 2 * clips.length);
  const likes = alikes.reduce((sum, r) => sum + r.length, 0);
  return {
    clips,
    picture,
    learned,
    turnsAt,
    likeMisses: alikes,
    fit: {
      model,
      cameras: base,
      centre,
      lens,
      shutter: 0,
      spread: {
        shared: found.spread.shared,
        groups: clips.map((_, k) => ({ follow: picked(turnsAt(k), count), own: Matrix.zeros(3, 0) })),
      },
      offPx: points.map((own, k) =>
        own.flatMap((point) => {
          const [u, v] = see(base[k]!, lens, ...tapes.placeOf(point, placesNow));
          return [u - point.xPx, v - point.yPx];
        }),
      ),
      chiSquares: found.residuals.slice(0, clips.length).map((r) => r.reduce((sum, v) => sum + v * v, 0)),
      chiSquare: found.sumOfSquares,
      observations,
      // Taped places, the principal point and an ordinary lens are observations of their own, as many as their parameters.
      freedom: observations + likes - 4 - (lensPrior === null ? model.findLens : 0) - 3 * clips.length,
    },
  };
}

/** Rows that pick three of so many parameters. */
function picked(from: number, count: number): Matrix {
  const rows = Matrix.zeros(3, count);
  for (let k = 0; k < 3; k++) rows.set(k, from + k, 1);
  return rows;
}

/** px: the picture's points are so far from its centre, root mean square. */
export function reachOf({ width, height }: Picture): number {
  return Math.hypot(width, height) / Math.sqrt(12);
}

/** Pixels right of the centre, of which the turn is seen. */
const ASIDE = 100;

/** Where what one camera sees at the picture's centre is seen by another in the same place; signs as in `LikeClip`. */
export function backgroundIn(one: Camera, other: Camera, picture: Picture) {
  const [x, y] = [(picture.width - 1) / 2, (picture.height - 1) / 2];
  const r = other.rotation;
  const seen = (u: number, v: number) => {
    const [a, b, c] = ray(one, u, v);
    const depth = r[6]! * a + r[7]! * b + r[8]! * c;
    return {
      x: other.cx + (other.focalPx * (r[0]! * a + r[1]! * b + r[2]! * c)) / depth,
      y: other.cy + (other.focalPx * (r[3]! * a + r[4]! * b + r[5]! * c)) / depth,
    };
  };
  const [middle, right, left] = [seen(x, y), seen(x + ASIDE, y), seen(x - ASIDE, y)];
  const turnDeg = (Math.atan2(right.y - left.y, right.x - left.x) * 180) / Math.PI;
  return { dxPx: middle.x - x, dyPx: middle.y - y, turnDeg };
}

/** The clips of which enough is known: two points, or a clip like it that is one of them. */
function placed(clips: readonly SetupClip[]): SetupClip[] {
  const known = new Set(clips.filter((c) => c.points.length >= 2).map((c) => c.trial));
  for (let before = -1; before !== known.size; ) {
    before = known.size;
    for (const { trial, like } of clips) if (like && known.has(like.trial)) known.add(trial);
  }
  return clips.filter((c) => known.has(c.trial));
}

/** A camera near enough for each clip: that of its points, or of the clip it is like, turned as the background says. */
function startsOf(clips: readonly SetupClip[], own: ReadonlyMap<number, Camera>): Camera[] {
  const found = new Map([...own].map(([k, camera]) => [clips[k]!.trial, camera]));
  while (found.size < clips.length)
    for (const { trial, like } of clips) {
      const near = like && found.get(like.trial);
      if (found.has(trial) || !near) continue;
      const turn = [
        -(like.dyPx ?? 0) / near.focalPx,
        (like.dxPx ?? 0) / near.focalPx,
        ((like.turnDeg ?? 0) * Math.PI) / 180,
      ] as const;
      found.set(trial, nudged(near, 0, turn, [0, 0, 0]));
    }
  return clips.map(({ trial }) => found.get(trial)!);
}
