import type { Matrix } from "ml-matrix";
import { exactly, fromParts, type Sources, type Uncertain } from "../../uncertainty/uncertain.ts";
import { nudged } from "../camera/camera.ts";
import { BEYOND_LENS, type Ground, type UncertainCamera } from "../camera/ground.ts";
import { isWithinReach, undistort } from "../camera/lens.ts";
import { placeOnIce } from "../camera/placeOnIce.ts";
import type { FlatPoint } from "../points/hull.ts";
import { layout, type MovingFit } from "./movingCamera.ts";

/** Which frames the joint fit has a camera for. */
interface PlacedFrames {
  /** Frame → which camera of the fit. */
  readonly indexOf: Pick<ReadonlyMap<number, number>, "get" | "has">;
  /** Why a frame without a camera has none. */
  readonly whyNot: (frame: number) => string;
}

/**
 * The ice as a moving camera shows it: one mapping a frame. What the joint fit leaves open about the tripod's
 * place and the focal length is shared by all frames; what it leaves open about a direction is that frame's own.
 */
export function movingGround(
  { indexOf, whyNot }: PlacedFrames,
  fit: MovingFit,
  widen: number,
  hull: readonly FlatPoint[],
  sources: Sources,
): Ground {
  const views = new Map<number, UncertainCamera>();
  const first = sources.reserve(fit.spread.shared.columns);
  const cameraIn = (frame: number): UncertainCamera | null => {
    const index = indexOf.get(frame);
    if (index === undefined) return null;
    let view = views.get(frame);
    if (!view) {
      view = cameraOf(fit, index, widen, first, sources);
      views.set(frame, view);
    }
    return view;
  };
  return {
    place: (mark, frame) => {
      const view = cameraIn(frame);
      return view && placeOnIce(view, mark);
    },
    cameraIn,
    eyeIn: (frame) => fit.cameras[indexOf.get(frame) ?? -1] ?? null,
    unplacedWhy: (frame) => (indexOf.has(frame) ? null : whyNot(frame)),
    beyondLensWhy: (u, v, frame) => {
      const camera = fit.cameras[indexOf.get(frame) ?? -1];
      return camera && !isWithinReach(fit.lens, camera, u, v) ? BEYOND_LENS : null;
    },
    offIceWhy: null,
    noCamera: "This frame has no ice points, and the camera moves.",
    hull,
    acrossWhy: null,
    betweenFramesWhy: null,
    alongWhy: null,
    mostHeadingDeg: null,
  };
}

function cameraOf(
  fit: MovingFit,
  index: number,
  widen: number,
  first: number,
  sources: Sources,
): UncertainCamera {
  const { zooms, findLens } = fit.model;
  const at = layout(fit.model);
  const camera = fit.cameras[index]!;
  const spread = fit.spread.groups[index]!;
  const shared = fit.spread.shared;
  const sharedNumbers = Array.from({ length: shared.columns }, (_, k) => first + k);
  const ownFirst = sources.reserve(spread.own.columns);
  const ownNumbers = Array.from({ length: spread.own.columns }, (_, k) => ownFirst + k);
  const led = spread.follow.mmul(shared);
  const row = (m: Matrix, r: number) => m.getRow(r).map((part) => part * widen);
  const common = (r: number, unit = 1): Uncertain =>
    fromParts(
      0,
      sharedNumbers,
      row(shared, r).map((part) => part * unit),
    );
  const own = (r: number): Uncertain =>
    fromParts(0, [...sharedNumbers, ...ownNumbers], [...row(led, r), ...row(spread.own, r)]);
  const lensRows = Array.from({ length: findLens }, (_, k) => common(at.lens + k));
  return {
    camera,
    lens: fit.lens,
    deviations: [
      zooms ? own(3) : common(0),
      ...[0, 1, 2].map(own),
      ...[0, 1, 2].map((k) => common(at.place + k)),
      ...[0, 1].map((k) => (fit.model.findsCentre ? common(at.centre + k, fit.centre.sdPx) : exactly(0))),
      ...lensRows,
    ],
    at: ([zoom, t0, t1, t2, m0, m1, m2, cx, cy, k1, k2]: readonly number[]) => {
      const moved = nudged(camera, zoom!, [t0!, t1!, t2!], [m0!, m1!, m2!], [cx!, cy!]);
      const lens =
        findLens === 0
          ? fit.lens
          : { k1: fit.lens.k1 + k1!, k2: (fit.lens.k2 ?? 0) + (findLens === 2 ? k2! : 0) };
      return { camera: moved, straighten: (u, v) => undistort(lens, moved, u, v) };
    },
  };
}
