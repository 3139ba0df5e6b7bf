import type { Matrix } from "ml-matrix";
import type { Lens } from "../../study/types.ts";
import { calculation, fromParts, linear, type Sources, type Uncertain } from "../../uncertainty/uncertain.ts";
import { type Camera, nudged, ray } from "../camera/camera.ts";
import {
  type Ground,
  PLACE_AT,
  type UncertainCamera,
  type UncertainMark,
  type UncertainPlace,
} from "../camera/ground.ts";
import { undistort } from "../camera/lens.ts";
import { byDeviation, raySlopes } from "../camera/raySlopes.ts";
import type { FlatPoint } from "../points/hull.ts";
import { layout, type MovingFit } from "./movingCamera.ts";

/**
 * The ice as a moving camera shows it: one mapping a frame. What the joint fit leaves open about the tripod's
 * place and the focal length is shared by all frames; what it leaves open about a direction is that frame's own.
 *
 * @param whyNot why a frame without a camera has none
 */
export function movingGround(
  indexOf: ReadonlyMap<number, number>,
  fit: MovingFit,
  widen: number,
  hull: readonly FlatPoint[],
  whyNot: (frame: number) => string,
  sources: Sources,
): Ground {
  const seers = new Map<number, UncertainCamera>();
  const first = sources.reserve(fit.spread.shared.columns);
  const cameraIn = (frame: number): UncertainCamera | null => {
    const index = indexOf.get(frame);
    if (index === undefined) return null;
    let seer = seers.get(frame);
    if (!seer) {
      seer = seerOf(fit, index, widen, first, sources);
      seers.set(frame, seer);
    }
    return seer;
  };
  return {
    place: (mark, frame) => {
      const seer = cameraIn(frame);
      return seer && placeOnIce(seer, mark);
    },
    cameraIn,
    unplacedWhy: (frame) => (indexOf.has(frame) ? null : whyNot(frame)),
    offIceWhy: null,
    noCamera: "This frame has no ice points, and the camera moves.",
    hull,
    acrossWhy: null,
    betweenFramesWhy: null,
    alongWhy: null,
    mostHeadingDeg: null,
  };
}

/** Where the ray of a picture point meets the ice; null at and above the horizon. */
export function meetIce(camera: Camera, lens: Lens, u: number, v: number): readonly [number, number] | null {
  const [rx, ry, rz] = ray(camera, ...undistort(lens, camera, u, v));
  if (rz >= 0) return null;
  return [camera.x - (camera.z * rx) / rz, camera.y - (camera.z * ry) / rz];
}

function placeOnIce(seer: UncertainCamera, mark: UncertainMark): UncertainPlace | null {
  const { camera, deviations } = seer;
  const slopes = raySlopes(camera, seer.lens, mark.u.value, mark.v.value);
  const [rx, ry, rz] = slopes.ray;
  if (rz >= 0) return null;
  const inputs = [mark.u, mark.v, ...deviations];
  const whole = calculation((u, v, ...d) => {
    const { camera: moved, straighten } = seer.at(d);
    const [ax, ay, az] = ray(moved, ...straighten(u!, v!));
    return [moved.x - (moved.z * ax) / az, moved.y - (moved.z * ay) / az];
  }, inputs);
  // The place is camera + reach × ray: a turn of the ray moves it along the ice.
  const reach = -camera.z / rz;
  const turns = [slopes.byU, slopes.byV, ...byDeviation(slopes, deviations.length)];
  const alongX = turns.map((turn) => (turn ? reach * (turn[0] - (rx * turn[2]) / rz) : 0));
  const alongY = turns.map((turn) => (turn ? reach * (turn[1] - (ry * turn[2]) / rz) : 0));
  const place = 2 + PLACE_AT;
  [alongX[place], alongY[place + 1]] = [1, 1];
  [alongX[place + 2], alongY[place + 2]] = [-rx / rz, -ry / rz];
  return {
    x: linear(camera.x + reach * rx, inputs, alongX, whole, 0),
    y: linear(camera.y + reach * ry, inputs, alongY, whole, 1),
  };
}

function seerOf(
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
  const common = (r: number): Uncertain => fromParts(0, sharedNumbers, row(shared, r));
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
      ...lensRows,
    ],
    at: ([zoom, t0, t1, t2, m0, m1, m2, k1, k2]: readonly number[]) => {
      const moved = nudged(camera, zoom!, [t0!, t1!, t2!], [m0!, m1!, m2!]);
      const lens =
        findLens === 0
          ? fit.lens
          : { k1: fit.lens.k1 + k1!, k2: (fit.lens.k2 ?? 0) + (findLens === 2 ? k2! : 0) };
      return { camera: moved, straighten: (u, v) => undistort(lens, moved, u, v) };
    },
  };
}
