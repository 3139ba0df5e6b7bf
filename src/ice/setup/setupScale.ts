import { MeasureError } from "../../errors.ts";
import type { Lens, Picture } from "../../study/types.ts";
import { K95 } from "../../uncertainty/uncertain.ts";
import { nudged, project } from "../camera/camera.ts";
import type { FittedScale } from "../camera/ground.ts";
import { learnedSummary } from "../camera/learnedLens.ts";
import { checkLens, narrowCorner, usedRadius } from "../camera/lensUse.ts";
import { meetIce } from "../camera/placeOnIce.ts";
import { cameraSummary } from "../moving/cameraSummary.ts";
import { misfitOf } from "../moving/chooseModel.ts";
import { layout, see } from "../moving/movingCamera.ts";
import { movingGround } from "../moving/movingGround.ts";
import { movedCamera } from "../points/cameraMoved.ts";
import { convexHull } from "../points/hull.ts";
import { onIce, rms, rmsPx } from "../points/judgePoints.ts";
import { fewPoints, outsidePicture, poorFit } from "../points/pointWarnings.ts";
import { poorMisfit, refusedMisfit } from "../points/poorFit.ts";
import type { SeenAgain } from "../points/seenAgain.ts";
import type { IceResidual, LensSummary, SetupSummary } from "../types.ts";
import { clipDoubts } from "./clipDoubts.ts";
import { backgroundIn, fitSetup, type SetupFit } from "./fitSetup.ts";
import type { SetupClips, SetupReference } from "./setupClips.ts";
import { disagreement, farTooFew, knockedAside, unplaced } from "./setupRefusals.ts";

/**
 * Scale of one clip of a camera set-up, from the ice points of all its clips; see `fitSetup`. What the joint fit leaves open about
 * the camera's place and lens errs alike in all of them.
 *
 * @throws {MeasureError} see `fitSetup`; `not-in-set-up` where nothing tells how this clip's camera looks;
 *   `ice-points-disagree` over 3 marking SD
 */
export function setupScale(
  { setup, trial, pieces }: SetupReference,
  picture: Picture,
  markSdPx: number,
  given: Lens | undefined,
): FittedScale {
  const lens = given ?? setup.lens;
  if (lens) checkLens(lens, narrowCorner(picture));
  const joint = jointFit(setup, picture, markSdPx, given);
  const { fit, clips } = joint;
  const at = clips.findIndex((c) => c.trial === trial);
  if (at < 0) throw unplaced(setup, trial);
  if (lens)
    checkLens(
      lens,
      usedRadius(
        clips.flatMap((c) => c.points),
        picture,
      ) / fit.cameras[0]!.focalPx,
    );
  const misfit = misfitOf(fit);
  const all = clips.map((_, k) => residualsOf(joint, k));
  const residuals = all[at]!;
  const worst = all
    .flat()
    .reduce((a, b) => (Math.hypot(b.dxPx, b.dyPx) > Math.hypot(a.dxPx, a.dyPx) ? b : a));
  if (misfit > refusedMisfit(fit.freedom))
    throw pieces ? knockedAside(misfit, worst) : disagreement(setup, joint, misfit, worst);
  const isPoor = misfit > poorMisfit(fit.freedom);
  const widen = isPoor ? misfit : 1;
  const focalU = widen * Math.hypot(...fit.spread.shared.getRow(0));
  const camera = fit.cameras[at]!;
  if (!(focalU < 0.33 && camera.z > 0)) throw farTooFew(setup);
  const hull = convexHull(distinctPlaces(joint));
  const own = clips[at]!;
  const moved = movedCamera(
    own.rechecks ?? [],
    own.points.map((p) => p.label),
    { again: (k) => seenAgain(joint, at, k), sdPx: (k) => own.points[k]!.uPx ?? markSdPx },
    markSdPx,
    widen,
  );
  const doubts = clipDoubts(joint, at);
  const shown = pieces || residuals.length === 0 ? all.flat() : residuals;
  /** Which camera of the fit sees a frame. */
  const clipOf = (frame?: number) => {
    const piece = frame === undefined ? undefined : pieces?.findLast(({ from }) => from <= frame);
    return piece ? clips.findIndex((c) => c.trial === piece.trial) : at;
  };
  const cameraOf = (frame?: number) => fit.cameras[clipOf(frame)]!;
  return {
    summary: {
      kind: "ice-points",
      points: all.flat().length,
      rmsPx: rmsPx(shown),
      rms: rms(shown.map((r) => r.distance)),
      rmsAcross: rms(shown.map((r) => r.across)),
      camera: cameraSummary(camera, fit, widen, focalU),
      ...(moved.still && { still: moved.still }),
      lens: lensSummary(joint, lens, widen),
      ...(!pieces && !setup.isAlone && { setup: setupSummary(setup, joint, at, widen) }),
      warnings: [
        ...fewPoints(Math.max(4, distinctPlaces(joint).length)),
        ...outsidePicture(own.points, picture),
        ...(isPoor ? [poorFit(misfit, worst)] : []),
        ...doubts.warnings,
        ...moved.warnings,
      ],
    },
    ...(doubts.unprovenWhy !== null && { unprovenWhy: doubts.unprovenWhy }),
    residuals: pieces ? all.flat() : residuals,
    hull,
    toIce: (p, frame) => {
      const place = meetIce(cameraOf(frame), fit.lens, p.xPx, p.yPx);
      return place && { x: place[0], y: place[1] };
    },
    toPicture: (x, y, z = 0, frame) => {
      const seenBy = cameraOf(frame);
      if (project(seenBy, x, y, z)[2] <= 0) return null;
      const [xPx, yPx] = see(seenBy, fit.lens, x, y, z);
      return { xPx, yPx };
    },
    ground: (sources) =>
      movingGround(
        { indexOf: { get: clipOf, has: () => true }, whyNot: () => "" },
        fit,
        widen,
        hull,
        sources,
      ),
  };
}

const fits = new WeakMap<SetupClips, { readonly key: string; readonly found: SetupFit | MeasureError }>();

/** Once for all clips of a set-up; what is refused is remembered as well. */
function jointFit(setup: SetupClips, picture: Picture, markSdPx: number, lens: Lens | undefined): SetupFit {
  const key = `${picture.width} ${picture.height} ${markSdPx} ${lens?.k1} ${lens?.k2}`;
  let known = fits.get(setup);
  if (known?.key !== key) {
    let found: SetupFit | MeasureError;
    try {
      found = fitSetup(setup, picture, markSdPx, lens);
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      found = error;
    }
    known = { key, found };
    fits.set(setup, known);
  }
  if (known.found instanceof MeasureError) throw known.found;
  return known.found;
}

/** How a clip's own points disagree with the joint fit, named with their trial. */
function residualsOf({ clips, fit }: SetupFit, k: number): IceResidual[] {
  return clips[k]!.points.map((p, m) => {
    const place = meetIce(fit.cameras[k]!, fit.lens, p.xPx, p.yPx);
    const far = Number.POSITIVE_INFINITY;
    return {
      label: p.label,
      dxPx: -fit.offPx[k]![2 * m]!,
      dyPx: -fit.offPx[k]![2 * m + 1]!,
      ...onIce(place ? place[0] - p.x : far, place ? place[1] - p.y : far),
    };
  });
}

function distinctPlaces({ clips }: SetupFit) {
  const places = new Map<string, { readonly x: number; readonly y: number }>();
  for (const { points } of clips) for (const { x, y } of points) places.set(`${x} ${y}`, { x, y });
  return [...places.values()];
}

function lensSummary({ fit, learned }: SetupFit, given: Lens | undefined, widen: number): LensSummary {
  const { k1, k2 = 0 } = fit.lens;
  if (given) return { from: "given", k1, k2, u95K1: null };
  const u95K1 = K95 * widen * Math.hypot(...fit.spread.shared.getRow(layout(fit.model).lens));
  if (learned) return learnedSummary(learned, k1, u95K1);
  // Wider than this it is an ordinary lens of which the points say nothing (see chooseLens).
  if (u95K1 > 0.2)
    return {
      value: null,
      why: "The ice points can't tell the lens; every ± allows for that of an ordinary one.",
    };
  return { from: "ice points", k1, k2, u95K1 };
}

const STEP = 1e-6;

/** What a number that depends on the joint fit's camera of two clips owes to each independent cause. */
function partsOf(
  { fit, turnsAt }: SetupFit,
  clips: readonly number[],
  f: (cameras: SetupFit["fit"]["cameras"]) => readonly number[],
): number[][] {
  const at = layout(fit.model);
  const { sdPx } = fit.centre;
  const causes = fit.spread.shared.columns;
  const moved = (which: number, by: number) =>
    clips.map((clip) => {
      const t = which - turnsAt(clip);
      const step = (k: number) => (which === k ? by : 0);
      return nudged(
        fit.cameras[clip]!,
        step(0),
        [0, 1, 2].map((k) => (t === k ? by : 0)) as [number, number, number],
        [0, 1, 2].map((k) => step(at.place + k)) as [number, number, number],
        [sdPx * step(at.centre), sdPx * step(at.centre + 1)],
      );
    });
  const numbers = [0, at.place, at.place + 1, at.place + 2, at.centre, at.centre + 1].concat(
    ...clips.map((clip) => [0, 1, 2].map((k) => turnsAt(clip) + k)),
  );
  const size = f(clips.map((clip) => fit.cameras[clip]!)).length;
  const parts = Array.from({ length: size }, () => new Array<number>(causes).fill(0));
  for (const n of new Set(numbers)) {
    const [above, below] = [f(moved(n, STEP)), f(moved(n, -STEP))];
    const row = fit.spread.shared.getRow(n);
    for (let k = 0; k < size; k++) {
      const slope = (above[k]! - below[k]!) / (2 * STEP);
      for (let c = 0; c < causes; c++) parts[k]![c]! += slope * row[c]!;
    }
  }
  return parts;
}

/** Where a point of a clip is to be seen again; what its tape and the lens leave open is small beside that and is left to the fit. */
function seenAgain(joint: SetupFit, clip: number, k: number): SeenAgain {
  const { fit } = joint;
  const p = joint.clips[clip]!.points[k]!;
  const [xPx, yPx] = see(fit.cameras[clip]!, fit.lens, p.x, p.y);
  const [px, py] = partsOf(joint, [clip], ([camera]) => see(camera!, fit.lens, p.x, p.y));
  const tape = p.u ?? 0;
  const [ax] = [see(fit.cameras[clip]!, fit.lens, p.x + 0.01, p.y)];
  const [ay] = [see(fit.cameras[clip]!, fit.lens, p.x, p.y + 0.01)];
  const along = [(ax[0] - xPx) * 100 * tape, (ax[1] - yPx) * 100 * tape] as const;
  const across = [(ay[0] - xPx) * 100 * tape, (ay[1] - yPx) * 100 * tape] as const;
  const xy = along[0] * along[1] + across[0] * across[1];
  const none = px!.map(() => 0);
  return {
    xPx,
    yPx,
    parts: [px!, py!],
    withPlace: [none, none],
    place: [along[0] ** 2 + across[0] ** 2, xy, xy, along[1] ** 2 + across[1] ** 2],
  };
}

function setupSummary(setup: SetupClips, joint: SetupFit, at: number, widen: number): SetupSummary {
  const { clips, fit, picture } = joint;
  const turned = (k: number) => {
    const of = (one: (typeof fit.cameras)[number], other: (typeof fit.cameras)[number]) => {
      const { dxPx, dyPx, turnDeg } = backgroundIn(one, other, picture);
      return [dxPx, dyPx, turnDeg];
    };
    const value = of(fit.cameras[0]!, fit.cameras[k]!);
    const parts = k === 0 ? null : partsOf(joint, [0, k], ([one, other]) => of(one!, other!));
    const [dxPx, dyPx, turnDeg] = value.map((v, n) => ({
      value: k === 0 ? 0 : v,
      u95: parts ? K95 * widen * Math.hypot(...parts[n]!) : 0,
    }));
    return { dxPx: dxPx!, dyPx: dyPx!, turnDeg: turnDeg! };
  };
  return {
    id: setup.id,
    name: setup.name,
    clips: clips.map((c, k) => ({
      trial: c.trial,
      points: c.points.length,
      by: c.like ? c.like.by : "points",
      ...turned(k),
    })),
    left: setup.clips.filter((c) => !clips.includes(c)).map((c) => c.trial),
    sharedPoints: clips.reduce((sum, c, k) => sum + (k === at ? 0 : c.points.length), 0),
  };
}
