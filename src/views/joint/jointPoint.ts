import { inverse, Matrix } from "ml-matrix";
import { project } from "../../ice/camera/camera.ts";
import type { UncertainMark, UncertainPlace } from "../../ice/camera/ground.ts";
import { byDeviation, raySlopes, type Vector } from "../../ice/camera/raySlopes.ts";
import { Unmeasurable } from "../../kinematics/quantities/unmeasurable.ts";
import { onward } from "../../kinematics/trial/onLine.ts";
import type { TravelLine } from "../../kinematics/trial/travelLine.ts";
import type { TrialGeometry } from "../../kinematics/trial/trialGeometry.ts";
import { exactly, linear, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import { covariances, misfit } from "./conditioning.ts";

/** A point in space, metres in the ice frame. */
export interface SpacePoint extends UncertainPlace {
  readonly z: Uncertain;
}

/** Something that tells where a point is: how far it lies from `about` in a direction, metres. */
export interface Told {
  readonly direction: Vector;
  readonly distance: Uncertain;
}

/** A mark of the point in one view, and how far the point was then from where it is looked for, metres. */
export interface Sight {
  readonly trial: TrialGeometry;
  readonly frame: number;
  readonly mark: UncertainMark;
  readonly moved: SpacePoint | null;
}

/** What is held of a point before looking: along a line of travel from its first point, and above the ice, metres. */
export interface PointBelief {
  readonly line: TravelLine;
  readonly along: Uncertain;
  readonly height: Uncertain;
}

export interface JointPoint extends SpacePoint {
  /** How badly the rays and beliefs meet, as chi-square. */
  readonly square: number;
  readonly df: number;
  /** How far the farthest ray passes the point, metres. */
  readonly miss: number;
}

/** Rounds of least squares: a ray is straight, so the second only minds that it is not parallel to itself farther away. */
const ROUNDS = 3;

/**
 * The point that lies nearest to all its rays and to what is held of it, each weighed by how sure it is: generalised least
 * squares of the rays' two distances each and of the beliefs, with all their covariance. Its uncertainty goes back to the same
 * marks, cameras and beliefs as everything else.
 *
 * @see Hartley and Zisserman, Multiple View Geometry, 12 (from memory): triangulation; the weights are those of the whole
 *   covariance
 * @throws {Unmeasurable} where a view has no camera
 */
export function jointPoint(
  sights: readonly Sight[],
  belief: PointBelief,
  start: readonly [x: number, y: number, z: number],
): JointPoint {
  let about: Vector = start;
  for (let round = 1; ; round++) {
    const told = [...sights.flatMap((sight) => toldBySight(sight, about)), ...toldByBelief(belief, about)];
    const solved = solve(told);
    const point = {
      x: weightedSum([[1, exactly(about[0])], ...told.map((t, k) => [solved[0]![k]!, t.distance] as const)]),
      y: weightedSum([[1, exactly(about[1])], ...told.map((t, k) => [solved[1]![k]!, t.distance] as const)]),
      z: weightedSum([[1, exactly(about[2])], ...told.map((t, k) => [solved[2]![k]!, t.distance] as const)]),
    };
    if (round === ROUNDS) return { ...point, ...misfitOf(told, point, about) };
    about = [point.x.value, point.y.value, point.z.value];
  }
}

/** What is left over: each told distance less that of the point found. */
function misfitOf(told: readonly Told[], point: SpacePoint, about: Vector) {
  const rest = told.map(({ direction: [a, b, c], distance }) =>
    weightedSum([
      [1, distance],
      [-a, point.x],
      [-b, point.y],
      [-c, point.z],
      [a * about[0] + b * about[1] + c * about[2], exactly(1)],
    ]),
  );
  const values = rest.map(({ value }) => Math.abs(value));
  return { ...misfit(rest), miss: Math.max(...values.slice(0, -2)) };
}

/** A ray's distance from `about` to either side of it. */
function toldBySight({ trial, frame, mark, moved }: Sight, about: Vector): Told[] {
  const { ground } = trial;
  const view = ground.cameraIn(frame);
  if (!view) throw new Unmeasurable(ground.unplacedWhy(frame) ?? ground.noCamera);
  if (ground.offIceWhy) throw new Unmeasurable(ground.offIceWhy);
  const { camera } = view;
  const sight = raySlopes(camera, view.lens, mark.u.value, mark.v.value);
  // One unit of the ray is one unit along the optical axis.
  const [, , depth] = project(camera, ...about);
  const [rx, ry, rz] = sight.ray;
  const off: Vector = [
    camera.x + depth * rx - about[0],
    camera.y + depth * ry - about[1],
    camera.z + depth * rz - about[2],
  ];
  const turns = byDeviation(sight, view.deviations.length);
  const inputs = [mark.u, mark.v, ...view.deviations];
  return aside(sight.ray).map((direction) => {
    const along = (v: Vector) => direction[0] * v[0] + direction[1] * v[1] + direction[2] * v[2];
    let place = 0;
    const slopes = [
      depth * along(sight.byU),
      depth * along(sight.byV),
      ...turns.map((turn) => (turn ? depth * along(turn) : direction[place++]!)),
    ];
    const seen = linear(along(off), inputs, slopes);
    if (!moved) return { direction, distance: seen };
    const distance = weightedSum([
      [1, seen],
      [-direction[0], moved.x],
      [-direction[1], moved.y],
      [-direction[2], moved.z],
    ]);
    return { direction, distance };
  });
}

/** Two unit vectors across a ray: level, and the one across both. */
function aside([x, y, z]: Vector): [Vector, Vector] {
  const level = Math.hypot(x, y);
  const long = Math.hypot(level, z);
  // Straight down any two will do.
  const side: Vector = level > 1e-9 * long ? [-y / level, x / level, 0] : [1, 0, 0];
  const up: Vector = [
    (y * side[2] - z * side[1]) / long,
    (z * side[0] - x * side[2]) / long,
    (x * side[1] - y * side[0]) / long,
  ];
  return [side, up];
}

function toldByBelief({ line, along, height }: PointBelief, about: Vector): Told[] {
  const [dx, dy] = [line.to.x.value - line.from.x.value, line.to.y.value - line.from.y.value];
  const long = Math.hypot(dx, dy);
  const here = onward(line, line.from, { x: exactly(about[0]), y: exactly(about[1]) });
  return [
    {
      direction: [dx / long, dy / long, 0],
      distance: weightedSum([
        [1, along],
        [-1, here],
      ]),
    },
    {
      direction: [0, 0, 1],
      distance: weightedSum([
        [1, height],
        [-about[2], exactly(1)],
      ]),
    },
  ];
}

/** By coordinate: how much each told distance counts, (AᵀC⁻¹A)⁻¹AᵀC⁻¹. */
function solve(told: readonly Told[]): number[][] {
  const weights = inverse(new Matrix(covariances(told.map(({ distance }) => distance))));
  const design = new Matrix(told.map(({ direction }) => [...direction]));
  const weighed = design.transpose().mmul(weights);
  return inverse(weighed.mmul(design)).mmul(weighed).to2DArray();
}
