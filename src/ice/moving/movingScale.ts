import { MeasureError } from "../../errors.ts";
import type { Warning } from "../../reading.ts";
import type { ClipMotion, FramePoints, Lens, Picture } from "../../study/types.ts";
import { K95 } from "../../uncertainty/uncertain.ts";
import { type Camera, project } from "../camera/camera.ts";
import type { FittedScale } from "../camera/ground.ts";
import { type LearnedLens, learnedSummary } from "../camera/learnedLens.ts";
import { checkLens, narrowCorner, usedRadius } from "../camera/lensUse.ts";
import { meetIce } from "../camera/placeOnIce.ts";
import type { Blamed } from "../points/badPoint.ts";
import { convexHull } from "../points/hull.ts";
import { onIce } from "../points/judgePoints.ts";
import { nameOf, outsidePicture, poorFit, pxOff } from "../points/pointWarnings.ts";
import { poorMisfit, refusedMisfit } from "../points/poorFit.ts";
import type { FollowedSummary, IceResidual, LensSummary, PicturePoint } from "../types.ts";
import { blameMoving } from "./blameMoving.ts";
import { cameraSummary } from "./cameraSummary.ts";
import { checkMovingPoints, undetermined } from "./checkMovingPoints.ts";
import { chooseModel, misfitOf } from "./chooseModel.ts";
import { Background } from "./follow/background.ts";
import { Carrier } from "./follow/carrier.ts";
import { layout, type MovingFit, see, shutterOf } from "./movingCamera.ts";
import { movingGround } from "./movingGround.ts";

/** What is known of a moving camera besides its ice points. */
interface Beside {
  /** Of the clip's background; null = it has not been looked at. */
  readonly motion?: ClipMotion | null;
  /** What other clips of the same camera have shown of its lens. */
  readonly learned?: LearnedLens | null | undefined;
  /** See `IceReference.readoutShare`; of use only with the clip's background. */
  readonly readoutShare?: number | undefined;
}

/**
 * Scale for a camera on a tripod that pans, tilts or zooms, from ice points marked frame by frame; see
 * `fitMovingCamera`. Only frames with two or more ice points of their own can be measured, and those to which the background
 * carries the camera, where it has been followed; see `Carrier`.
 *
 * @param beside see `Beside`
 * @throws {MeasureError} see `checkMovingPoints` and `chooseModel`; `ice-points-disagree` over 3 marking SD;
 *   `moving-camera-undetermined` when the focal length is not known to a third
 */
export function movingScale(
  all: readonly FramePoints[],
  picture: Picture,
  markSdPx: number,
  lens: Lens | undefined,
  { motion = null, learned = null, readoutShare }: Beside = {},
): FittedScale {
  checkMovingPoints(all, picture);
  const frames = all.filter((f) => f.points.length >= 2).sort((a, b) => a.frame - b.frame);
  if (lens) checkLens(lens, narrowCorner(picture));
  const background = motion && new Background(motion, picture);
  const slant = background?.slant.bind(background);
  const marked = { frames, picture, markSdPx, ...(slant && { slant, shutter: shutterOf(readoutShare) }) };
  const fit = chooseModel(marked, lens ?? null, learned);
  if (lens) {
    const points = frames.flatMap((f) => f.points);
    checkLens(lens, usedRadius(points, picture) / Math.min(...fit.cameras.map((c) => c.focalPx)));
  }
  const upright = (p: PicturePoint, frame: number) => {
    const [du, dv] = slant?.(frame, p) ?? [0, 0];
    return { xPx: p.xPx - fit.shutter * du, yPx: p.yPx - fit.shutter * dv };
  };
  const residuals = residualsOf(frames, fit, upright);
  const misfit = misfitOf(fit);
  const blamed = blameMoving(marked, fit);
  const worst = residuals.reduce((a, b) => (Math.hypot(b.dxPx, b.dyPx) > Math.hypot(a.dxPx, a.dyPx) ? b : a));
  if (misfit > refusedMisfit(fit.freedom)) throw disagreement(misfit, worst, blamed);
  const isPoor = misfit > poorMisfit(fit.freedom);
  const widen = isPoor ? misfit : 1;
  const focalU = widen * focalDoubt(fit);
  if (!(focalU < 0.33 && fit.cameras[0]!.z > 0)) throw undetermined();
  const named = frames.flatMap((f) =>
    f.points.map((p) => ({ ...p, label: `${p.label} on frame ${f.frame}` })),
  );
  const indexOf = new Map(frames.map((f, k) => [f.frame, k]));
  const hull = convexHull(distinctPlaces(frames));
  const rms = (pick: (r: IceResidual) => number) =>
    Math.sqrt(residuals.reduce((sum, r) => sum + pick(r) ** 2, 0) / residuals.length);
  const middle = middleCamera(fit);
  const keys = frames.map((f) => f.frame);
  const carrier = background && new Carrier(fit, keys, background, widen);
  const cameraOf = (frame: number | undefined) =>
    frame === undefined
      ? undefined
      : (fit.cameras[indexOf.get(frame) ?? -1] ?? carrier?.camera(frame)?.camera);
  return {
    summary: {
      kind: "ice-points-by-frame",
      points: residuals.length,
      frames: frames.length,
      rmsPx: rms((r) => Math.hypot(r.dxPx, r.dyPx)),
      rms: rms((r) => r.distance),
      rmsAcross: rms((r) => r.across),
      camera: cameraSummary(middle, fit, widen, focalU),
      lens: lensSummary(fit, lens, widen),
      ...(carrier && motion && { followed: followedSummary(fit, carrier, motion, widen) }),
      warnings: [
        ...outsidePicture(named, picture),
        ...(isPoor ? [poorFit(misfit, worst, blamed?.text)] : []),
        ...zoomed(fit),
        ...(carrier?.warnings ?? []),
      ],
    },
    residuals,
    hull,
    toIce: (p, frame) => {
      const camera = cameraOf(frame);
      if (!camera || frame === undefined) return null;
      const { xPx, yPx } = upright(p, frame);
      const place = meetIce(camera, fit.lens, xPx, yPx);
      return place ? { x: place[0], y: place[1] } : null;
    },
    toPicture: (x, y, z = 0, frame) => {
      const camera = cameraOf(frame);
      if (!camera || project(camera, x, y, z)[2] <= 0) return null;
      const [xPx, yPx] = see(camera, fit.lens, x, y, z);
      const [du, dv] = (frame !== undefined && slant?.(frame, { xPx, yPx })) || [0, 0];
      return { xPx: xPx + fit.shutter * du, yPx: yPx + fit.shutter * dv };
    },
    ...(slant && { upright }),
    ...(carrier && { carries: (frame) => carrier.whyNot(frame) === null }),
    ground: (sources) =>
      movingGround(
        { indexOf, carrier, whyNot: whyNot(all, carrier), ...(slant && { slant }) },
        fit,
        widen,
        hull,
        sources,
      ),
  };
}

function whyNot(all: readonly FramePoints[], carrier: Carrier | null): (frame: number) => string {
  return (frame) => {
    const told = carrier?.whyNot(frame);
    if (told) return told;
    const one = all.some((f) => f.frame === frame && f.points.length === 1);
    if (carrier)
      return `The camera moves, and on frame ${frame} the background does not tell how. Mark two or more ice points on it, far apart.`;
    return `The camera moves, and frame ${frame} has ${one ? "only one ice point" : "no ice points"}. Mark two or more ice points on it, far apart; or mark eight on each of three frames and let the clip's background be looked at, which carries them to the others.`;
  };
}

function followedSummary(
  fit: MovingFit,
  carrier: Carrier,
  motion: ClipMotion,
  widen: number,
): FollowedSummary {
  const row = fit.spread.shared.getRow(layout(fit.model).roll);
  return {
    carried: carrier.frames.length,
    frames: motion.frames.length,
    gapsPx: carrier.gapsPx,
    shutter: { value: fit.shutter, u95: K95 * widen * Math.hypot(...row) },
  };
}

function residualsOf(
  frames: readonly FramePoints[],
  fit: MovingFit,
  upright: (p: PicturePoint, frame: number) => PicturePoint,
): IceResidual[] {
  return frames.flatMap(({ frame, points }, k) =>
    points.map((p, m) => {
      const [du, dv] = [fit.offPx[k]![2 * m]!, fit.offPx[k]![2 * m + 1]!];
      const { xPx, yPx } = upright(p, frame);
      const place = meetIce(fit.cameras[k]!, fit.lens, xPx, yPx);
      return {
        label: p.label,
        frame,
        dxPx: -du,
        dyPx: -dv,
        ...onIce(
          place ? place[0] - p.x : Number.POSITIVE_INFINITY,
          place ? place[1] - p.y : Number.POSITIVE_INFINITY,
        ),
      };
    }),
  );
}

function lensSummary(fit: MovingFit, given: Lens | undefined, widen: number): LensSummary {
  const { k1, k2 = 0 } = fit.lens;
  if (given) return { from: "given", k1, k2, u95K1: null };
  if (fit.model.findLens === 0) {
    return { value: null, why: "The ice points show no lens distortion, so none is taken out." };
  }
  const row = fit.spread.shared.getRow(layout(fit.model).lens);
  const u95K1 = K95 * widen * Math.hypot(...row);
  const { lensPrior } = fit.model;
  if (lensPrior?.learned) return learnedSummary(lensPrior.learned, k1, u95K1);
  if (lensPrior)
    return {
      value: null,
      why: `The ice points show no lens distortion (k1 = ${k1.toFixed(3)} ± ${u95K1.toFixed(3)}); what they leave open of it is in every ±.`,
    };
  return { from: "ice points", k1, k2, u95K1 };
}

/** Standard uncertainty of the log focal length; where it zooms, the middle one of all frames. */
function focalDoubt(fit: MovingFit): number {
  if (!fit.model.zooms) return Math.hypot(...fit.spread.shared.getRow(0));
  return middleOf(
    fit.cameras.map((_, k) => {
      const { follow, own } = fit.spread.groups[k]!;
      return Math.hypot(...follow.mmul(fit.spread.shared).getRow(3), ...own.getRow(3));
    }),
  );
}

function middleCamera(fit: MovingFit): Camera {
  return { ...fit.cameras[0]!, focalPx: middleOf(fit.cameras.map((c) => c.focalPx)) };
}

function middleOf(values: readonly number[]): number {
  return values.slice().sort((a, b) => a - b)[values.length >> 1]!;
}

function distinctPlaces(frames: readonly FramePoints[]) {
  const places = new Map<string, { readonly x: number; readonly y: number }>();
  for (const { points } of frames) for (const { x, y } of points) places.set(`${x} ${y}`, { x, y });
  return [...places.values()];
}

function zoomed(fit: MovingFit): Warning[] {
  if (!fit.model.zooms) return [];
  const focals = fit.cameras.map((c) => c.focalPx);
  const [least, most] = [Math.min(...focals), Math.max(...focals)];
  return [
    {
      code: "camera-zooms",
      text: `The camera zooms: the focal length goes from ${least.toFixed(0)} to ${most.toFixed(0)} px. Every frame has its own, which two ice points alone fix less well; four a frame are better.`,
    },
  ];
}

function disagreement(misfit: number, worst: IceResidual, blamed: Blamed | null): MeasureError {
  const which = blamed?.text ?? `${nameOf(worst)} is the worst (${pxOff(worst)}).`;
  return new MeasureError(
    "ice-points-disagree",
    `fitScale requires ice points that agree within 3 marking SD; rms is ${misfit.toFixed(1)} SD, worst ${worst.label} in frame ${worst.frame}`,
    `The ice points of the moving camera disagree with each other by ${misfit.toFixed(1)} times what marking alone explains. ${which} Check its place on the ice and its mark. If the camera was carried or its tripod moved, this can't be measured.`,
    { misfit, worst: blamed?.names[0] ?? nameOf(worst) },
  );
}
