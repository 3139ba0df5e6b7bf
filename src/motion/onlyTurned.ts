import { choleskyFactor, solveFactored } from "../ice/numeric/positiveDefinite.ts";
import { centreOf, mapped, type PlaneMap, type Point, type Size } from "./planeMap.ts";

/** Focal lengths that are tried, in widths of the picture: from very wide to far. */
const FOCALS = [0.4, 0.6, 0.9, 1.35, 2, 3, 4.5, 9];
const ROUNDS = 6;
/** To a hundred-thousandth of the focal length: a turn by half a picture shows a thousandth. */
const SECTIONS = 24;
const GOLDEN = (Math.sqrt(5) - 1) / 2;
const STEP = 1e-5;

/** How far a map is from what a camera can do that stays in its place, px root mean square over the picture. */
export interface Miss {
  /** Turned. */
  readonly turned: number;
  /** Turned, and zoomed. */
  readonly zoomed: number;
}

/**
 * Holds a map of the picture against those of a camera that only turns, K R K⁻¹ (Hartley and Zisserman, Multiple View Geometry,
 * 2nd edition, 8.4.2), of whatever focal length suits it best, at nine places from edge to edge.
 */
export function onlyTurned(map: PlaneMap, size: Size): Miss {
  const least = (zooms: boolean) => leastMiss((widths) => missOf(map, size, widths * size.width, zooms));
  return { turned: least(false), zoomed: least(true) };
}

/** Over all focal lengths: from the best that is tried on between its neighbours, by golden sections. */
function leastMiss(missAt: (widths: number) => number): number {
  const tried = FOCALS.map(missAt);
  const best = tried.indexOf(Math.min(...tried));
  let [low, high] = [FOCALS[best - 1] ?? FOCALS[best]!, FOCALS[best + 1] ?? FOCALS[best]!].map(Math.log) as [
    number,
    number,
  ];
  let least = tried[best]!;
  for (let round = 0; round < SECTIONS && high > low; round++) {
    const [a, b] = [high - (high - low) * GOLDEN, low + (high - low) * GOLDEN];
    const [missA, missB] = [missAt(Math.exp(a)), missAt(Math.exp(b))];
    least = Math.min(least, missA, missB);
    if (missA < missB) high = b;
    else low = a;
  }
  return least;
}

function missOf(map: PlaneMap, size: Size, focalPx: number, zooms: boolean): number {
  const c = centreOf(size);
  const grid = [0, 1, 2].flatMap((i) => [0, 1, 2].map((j): Point => ({ x: i * c.x, y: j * c.y })));
  const to = grid.map(({ x, y }) => mapped(map, x, y));
  const off = (p: readonly number[]) =>
    grid.flatMap((from, k) => {
      const at = turnedTo(p, from, c, focalPx);
      return [at.x - to[k]!.x, at.y - to[k]!.y];
    });
  const n = zooms ? 4 : 3;
  // From the turn that the middle of the picture shows.
  const middle = mapped(map, c.x, c.y);
  const turn = [-Math.atan((middle.y - c.y) / focalPx), Math.atan((middle.x - c.x) / focalPx)];
  let p = [...turn, ...new Array<number>(n - 2).fill(0)];
  for (let round = 0; round < ROUNDS; round++) {
    const here = off(p);
    const slopes = p.map((_, k) => {
      const there = off(p.map((v, m) => (m === k ? v + STEP : v)));
      return there.map((v, i) => (v - here[i]!) / STEP);
    });
    const normal = slopes.flatMap((a) => slopes.map((b) => dot(a, b)));
    const factor = choleskyFactor(normal, n);
    if (!factor) break;
    const step = slopes.map((a) => -dot(a, here));
    solveFactored(factor, step);
    p = p.map((v, k) => v + step[k]!);
  }
  const miss = off(p);
  const rms = Math.sqrt(dot(miss, miss) / grid.length);
  return Number.isFinite(rms) ? rms : Number.POSITIVE_INFINITY;
}

/** Where a place is seen after a turn about x, y and z (Rodrigues) and a zoom, as a logarithm. */
function turnedTo(
  [rx = 0, ry = 0, rz = 0, zoom = 0]: readonly number[],
  from: Point,
  c: Point,
  f: number,
): Point {
  const v = [(from.x - c.x) / f, (from.y - c.y) / f, 1] as const;
  const angle = Math.hypot(rx, ry, rz);
  const [s, k] = angle > 1e-9 ? [Math.sin(angle) / angle, (1 - Math.cos(angle)) / angle ** 2] : [1, 0.5];
  const along = rx * v[0] + ry * v[1] + rz * v[2];
  const turned = (own: number, axis: number, cross: number) =>
    Math.cos(angle) * own + s * cross + k * along * axis;
  const x = turned(v[0], rx, ry * v[2] - rz * v[1]);
  const y = turned(v[1], ry, rz * v[0] - rx * v[2]);
  const z = turned(v[2], rz, rx * v[1] - ry * v[0]);
  const focal = f * Math.exp(zoom);
  return { x: c.x + (focal * x) / z, y: c.y + (focal * y) / z };
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, v, i) => sum + v * b[i]!, 0);
}
