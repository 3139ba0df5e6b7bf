import { Matrix, SVD } from "ml-matrix";
import { MeasureError } from "../../errors.ts";
import type { FramePoints, IcePoint, Lens } from "../../study/types.ts";
import { type Camera, project } from "../camera.ts";
import { isSpread } from "../checkIcePoints.ts";
import { undistort } from "../lens.ts";
import { fitThroughLens } from "../pointFit.ts";

/** So many frames are tried, each for the place and focal length it gives by itself. */
const MOST_TRIED = 8;

interface Picture {
  readonly width: number;
  readonly height: number;
}

/** Frames that can give a camera by themselves, those with most points first. */
export function keyFrames(frames: readonly FramePoints[], markSdPx: number): readonly FramePoints[] {
  return frames
    .filter(({ points }) => points.length >= 4 && isSpread(points, markSdPx))
    .sort((a, b) => b.points.length - a.points.length);
}

/**
 * A camera for every frame, all at one place, to begin the joint fit from: the place (and focal length) of the
 * key frame with which all frames' points agree best.
 *
 * @throws {MeasureError} `ice-points-mirrored`; `moving-camera-undetermined` when no key frame gives a camera
 */
export function startMoving(
  frames: readonly FramePoints[],
  picture: Picture,
  markSdPx: number,
  lens: Lens | null,
  zooms: boolean,
): readonly Camera[] {
  let refusal: MeasureError | null = null;
  let best: { readonly cameras: readonly Camera[]; readonly misfit: number } | null = null;
  for (const key of keyFrames(frames, markSdPx).slice(0, MOST_TRIED)) {
    let camera: Camera | null = null;
    try {
      camera = fitThroughLens(key.points, picture, markSdPx, lens).camera?.camera ?? null;
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      refusal = error;
    }
    if (!camera || !(camera.z > 0)) continue;
    const at = camera;
    const cameras = frames.map((f) => turnedTo(f.points, zooms ? zoomedTo(f.points, at) : at, lens));
    const misfit = frames.reduce((sum, f, k) => sum + misfitOf(f.points, cameras[k]!, lens), 0);
    if (Number.isFinite(misfit) && (!best || misfit < best.misfit)) best = { cameras, misfit };
  }
  if (best) return best.cameras;
  throw (
    refusal ??
    new MeasureError(
      "moving-camera-undetermined",
      "startMoving requires a frame whose ice points tell the camera's place and focal length",
      "No frame's ice points show where the camera stands. Mark six or more points on three frames, spread along the lane and across it.",
    )
  );
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
