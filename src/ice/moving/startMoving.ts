import { Matrix, SVD } from "ml-matrix";
import { MeasureError } from "../../errors.ts";
import type { FramePoints, IcePoint, Lens, Picture } from "../../study/types.ts";
import { type Camera, cameraFromHomography, project } from "../camera/camera.ts";
import { directLinear } from "../camera/homography.ts";
import { undistort } from "../camera/lens.ts";
import { isSpread } from "../points/checkIcePoints.ts";
import { fitThroughLens } from "../points/pointFit.ts";
import type { MarkedFrames } from "./movingCamera.ts";

/** So many frames are tried, each for the place and focal length it gives by itself. */
const MOST_TRIED = 4;
/** So many frames, those with most points, judge a start. */
const MOST_JUDGES = 8;
/** So many starts are worth a joint fit. */
const MOST_STARTS = 5;
/** Focal lengths tried, in picture widths: from a very wide lens to a very long one. */
const FOCALS = [0.4, 0.55, 0.75, 1, 1.4, 1.9, 2.6, 3.6, 5, 7, 10];

/** How the frames are to be seen while a start is looked for. */
export interface Search extends MarkedFrames {
  readonly lens: Lens | null;
  readonly zooms: boolean;
}

/** A camera for every frame, all at one place. */
export type Start = readonly Camera[];

/**
 * Starts for the joint fit, the most promising first: places (and focal lengths) that single frames give, each
 * judged by how well all frames' points agree with it.
 *
 * @throws {MeasureError} `ice-points-mirrored`, `ice-points-degenerate` where that holds for every frame tried
 */
export function startsFromFrames(search: Search): readonly Start[] {
  const { frames, markSdPx } = search;
  const keys = frames
    .filter(({ points }) => points.length >= 4 && isSpread(points, markSdPx))
    .sort((a, b) => b.points.length - a.points.length)
    .slice(0, MOST_TRIED);
  const refusals: MeasureError[] = [];
  const cameras = keys.flatMap((key) => {
    try {
      return seenFrom(key.points, search);
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      refusals.push(error);
      return [];
    }
  });
  // One frame whose points are wrong does not speak for the others.
  if (refusals[0] && cameras.length === 0) throw refusals[0];
  return ranked(search, cameras);
}

/** Starts all around the points, where single frames give none that serves. */
export function startsFromAround(search: Search): readonly Start[] {
  const { frames, picture } = search;
  const points = frames.flatMap((f) => f.points);
  const middle = (pick: (p: IcePoint) => number) =>
    points.reduce((sum, p) => sum + pick(p), 0) / points.length;
  const [mx, my] = [middle((p) => p.x), middle((p) => p.y)];
  const reach = Math.max(6, ...points.map((p) => Math.hypot(p.x - mx, p.y - my)));
  const cameras: Camera[] = [];
  for (let k = 0; k < 16; k++) {
    for (const far of [0.5, 0.9, 1.6, 3]) {
      for (const z of [1.5, 3, 6]) {
        for (const focal of [0.6, 1.2, 2.4, 4.8]) {
          const [x, y] = [
            mx + far * reach * Math.cos((k * Math.PI) / 8),
            my + far * reach * Math.sin((k * Math.PI) / 8),
          ];
          cameras.push({
            ...centred(picture),
            focalPx: focal * picture.width,
            rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1],
            x,
            y,
            z,
          });
        }
      }
    }
  }
  return ranked(search, cameras);
}

/** The places a frame's points give by themselves, for the focal lengths they give and for any others. */
function seenFrom(points: readonly IcePoint[], { picture, markSdPx, lens }: Search): Camera[] {
  const fit = fitThroughLens(points, picture, markSdPx);
  const { plane } = fit;
  const any = FOCALS.map((focal) => {
    const focalPx = focal * picture.width;
    const { cx, cy } = centred(picture);
    const h = lens
      ? directLinear(
          points.map((p) => {
            const [uPx, vPx] = undistort(lens, { cx, cy, focalPx }, p.xPx, p.yPx);
            return { x: p.x, y: p.y, uPx, vPx };
          }),
        )
      : plane.homography;
    return cameraFromHomography(h, focalPx, { cx, cy }, plane.ice);
  });
  // From there the joint fit finds the principal point that serves all frames.
  return fit.camera ? [{ ...fit.camera.camera, ...centred(picture) }, ...any] : any;
}

function centred(picture: Picture) {
  return { cx: (picture.width - 1) / 2, cy: (picture.height - 1) / 2 };
}

function ranked(search: Search, candidates: readonly Camera[]): readonly Start[] {
  const { frames, lens, zooms } = search;
  const judges = frames
    .slice()
    .sort((a, b) => b.points.length - a.points.length)
    .slice(0, MOST_JUDGES);
  const turned = (f: FramePoints, at: Camera) =>
    turnedTo(f.points, zooms ? zoomedTo(f.points, at) : at, lens);
  return candidates
    .filter((c) => c.z > 0 && [c.x, c.y, c.z, c.focalPx].every(Number.isFinite))
    .map((at) => ({
      at,
      misfit: judges.reduce((sum, f) => sum + misfitOf(f.points, turned(f, at), lens), 0),
    }))
    .filter(({ misfit }) => Number.isFinite(misfit))
    .sort((a, b) => a.misfit - b.misfit)
    .slice(0, MOST_STARTS)
    .map(({ at }) => frames.map((f) => turned(f, at)));
}

function straight(p: IcePoint, camera: Camera, lens: Lens | null): readonly [number, number] {
  return lens ? undistort(lens, camera, p.xPx, p.yPx) : [p.xPx, p.yPx];
}

/**
 * The camera at the same place, turned so that it sees the points where they are marked.
 *
 * @see Wahba (1965), SIAM Review 7, 409; solved by singular values, Markley (1988), J. Astronaut. Sci. 36, 245-258
 */
function turnedTo(points: readonly IcePoint[], camera: Camera, lens: Lens | null): Camera {
  const sum = Matrix.zeros(3, 3);
  for (const p of points) {
    const [u, v] = straight(p, camera, lens);
    const seen = unit([(u - camera.cx) / camera.focalPx, (v - camera.cy) / camera.focalPx, 1]);
    const there = unit([p.x - camera.x, p.y - camera.y, -camera.z]);
    sum.add(Matrix.columnVector(seen).mmul(Matrix.rowVector(there)));
  }
  const svd = new SVD(sum);
  const [left, right] = [svd.leftSingularVectors, svd.rightSingularVectors];
  const handed = determinant3(left) * determinant3(right) < 0 ? -1 : 1;
  left.mulColumn(2, handed);
  return { ...camera, rotation: left.mmul(right.transpose()).to1DArray() };
}

/** The camera with the focal length that makes the angle between the two points farthest apart right. */
function zoomedTo(points: readonly IcePoint[], camera: Camera): Camera {
  const [a, b] = farthest(points);
  const there = (p: IcePoint) => unit([p.x - camera.x, p.y - camera.y, -camera.z]);
  const want = cosine(there(a), there(b));
  const at = (focalPx: number) => {
    const seen = (p: IcePoint) => unit([p.xPx - camera.cx, p.yPx - camera.cy, focalPx]);
    return cosine(seen(a), seen(b)) - want;
  };
  let [low, high] = [0.1 * camera.cx, 100 * camera.cx];
  for (let round = 0; round < 60; round++) {
    const middle = Math.sqrt(low * high);
    if (at(middle) < 0) low = middle;
    else high = middle;
  }
  return { ...camera, focalPx: Math.sqrt(low * high) };
}

function farthest(points: readonly IcePoint[]): readonly [IcePoint, IcePoint] {
  let best: readonly [IcePoint, IcePoint] = [points[0]!, points[1]!];
  const apart = ([a, b]: readonly [IcePoint, IcePoint]) => Math.hypot(a.xPx - b.xPx, a.yPx - b.yPx);
  for (const a of points) for (const b of points) if (apart([a, b]) > apart(best)) best = [a, b];
  return best;
}

function misfitOf(points: readonly IcePoint[], camera: Camera, lens: Lens | null): number {
  return points.reduce((sum, p) => {
    const [u, v, depth] = project(camera, p.x, p.y, 0);
    const [su, sv] = straight(p, camera, lens);
    return depth > 0 ? sum + (u - su) ** 2 + (v - sv) ** 2 : Number.POSITIVE_INFINITY;
  }, 0);
}

function determinant3(m: Matrix): number {
  const a = (r: number, c: number) => m.get(r, c);
  return (
    a(0, 0) * (a(1, 1) * a(2, 2) - a(1, 2) * a(2, 1)) -
    a(0, 1) * (a(1, 0) * a(2, 2) - a(1, 2) * a(2, 0)) +
    a(0, 2) * (a(1, 0) * a(2, 1) - a(1, 1) * a(2, 0))
  );
}

function unit(v: readonly [number, number, number]): [number, number, number] {
  const length = Math.hypot(...v);
  return [v[0] / length, v[1] / length, v[2] / length];
}

function cosine(a: readonly number[], b: readonly number[]): number {
  return a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
}
