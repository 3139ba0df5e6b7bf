import type { Matrix } from "ml-matrix";
import type { Lens } from "../../study/types.ts";
import {
  calculation,
  derive,
  fromParts,
  linearised,
  type Sources,
  type Uncertain,
} from "../../uncertainty/uncertain.ts";
import { type Camera, nudged, ray } from "../camera.ts";
import type { Ground, UncertainCamera, UncertainMark, UncertainPlace } from "../ground.ts";
import type { FlatPoint } from "../hull.ts";
import { isStraight, undistort } from "../lens.ts";
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
      return seer && placeOnIce(seer, mark, fit.model.findLens === 0 && isStraight(fit.lens));
    },
    cameraIn,
    unplacedWhy: (frame) => (indexOf.has(frame) ? null : whyNot(frame)),
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
  const [rx, ry, rz] = ray(camera, ...straightened(camera, lens, u, v));
  if (rz >= 0) return null;
  return [camera.x - (camera.z * rx) / rz, camera.y - (camera.z * ry) / rz];
}

function placeOnIce(seer: UncertainCamera, mark: UncertainMark, straight: boolean): UncertainPlace | null {
  const onIce = (u: number, v: number, deviations: readonly number[]) => {
    const { camera, straighten } = seer.at(deviations);
    const [rx, ry, rz] = ray(camera, ...straighten(u, v));
    return [camera.x - (camera.z * rx) / rz, camera.y - (camera.z * ry) / rz, rz] as const;
  };
  if (
    onIce(
      mark.u.value,
      mark.v.value,
      seer.deviations.map(() => 0),
    )[2] >= 0
  )
    return null;
  const inputs = [mark.u, mark.v, ...seer.deviations];
  const run = (...[u, v, ...d]: number[]) => onIce(u!, v!, d).slice(0, 2);
  if (!straight) {
    const [x, y] = derive(run, inputs) as [Uncertain, Uncertain];
    return { x, y };
  }
  // Without a lens the slopes have a closed form: several times as fast, and a trial has hundreds of places.
  const whole = calculation(run, inputs);
  const [x, y] = run(...inputs.map((i) => i.value)) as [number, number];
  const slopes = slopesOnIce(seer.camera, mark.u.value, mark.v.value);
  const along = (axis: 0 | 1) => inputs.map((input, k) => [slopes[k]![axis], input] as const);
  return {
    x: linearised(x, along(0), { calculation: whole, pick: 0 }),
    y: linearised(y, along(1), { calculation: whole, pick: 1 }),
  };
}

/**
 * Change of the place where the ray through (u, v) meets the ice, metres, for a change of u, v (px), the log focal
 * length, the three turns (rad, camera axes) and the camera's place (m): rows in that order.
 */
function slopesOnIce(camera: Camera, u: number, v: number): (readonly [number, number])[] {
  const r = camera.rotation;
  const c = [(u - camera.cx) / camera.focalPx, (v - camera.cy) / camera.focalPx, 1] as const;
  const back = (a: number, b: number, d: number) =>
    [
      r[0]! * a + r[3]! * b + r[6]! * d,
      r[1]! * a + r[4]! * b + r[7]! * d,
      r[2]! * a + r[5]! * b + r[8]! * d,
    ] as const;
  const [rx, ry, rz] = back(...c);
  const reach = -camera.z / rz;
  // The place is camera + reach × ray: a turn of the ray moves it along the ice.
  const byRay = ([dx, dy, dz]: readonly [number, number, number]) =>
    [reach * (dx - (rx * dz) / rz), reach * (dy - (ry * dz) / rz)] as const;
  const perPx = 1 / camera.focalPx;
  return [
    byRay(back(perPx, 0, 0)),
    byRay(back(0, perPx, 0)),
    byRay(back(-c[0], -c[1], 0)),
    // Turning the camera by e turns the ray by -e × ray.
    byRay(back(0, c[2], -c[1])),
    byRay(back(-c[2], 0, c[0])),
    byRay(back(c[1], -c[0], 0)),
    [1, 0],
    [0, 1],
    [-rx / rz, -ry / rz],
  ];
}

function straightened(camera: Camera, lens: Lens, u: number, v: number): readonly [number, number] {
  return isStraight(lens) ? [u, v] : undistort(lens, camera, u, v);
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
      return { camera: moved, straighten: (u, v) => straightened(moved, lens, u, v) };
    },
  };
}
