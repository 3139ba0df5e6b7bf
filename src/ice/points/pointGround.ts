import { fewestCauses } from "../../uncertainty/fewestCauses.ts";
import { calculation, fromParts, linear, type Sources, type Uncertain } from "../../uncertainty/uncertain.ts";
import { type Camera, nudged } from "../camera/camera.ts";
import { type LensModel, lensOf, type PlaneFit } from "../camera/fitPlane.ts";
import type { Ground, UncertainMark, UncertainPlace } from "../camera/ground.ts";
import { iceToPicture, invert } from "../camera/homography.ts";
import { isStraight, undistort } from "../camera/lens.ts";
import { straightened } from "../camera/lensSlopes.ts";
import { inFront, type PointFit } from "./pointFit.ts";
import { slopes } from "./weighedPairs.ts";

/** Ice points as the core measures with them. `widen` multiplies the fit's own uncertainty. */
export function pointGround(
  fit: PointFit,
  camera: Camera | null,
  widen: number,
  { hull, offIceWhy }: Pick<Ground, "hull" | "offIceWhy">,
  sources: Sources,
): Ground {
  const { plane } = fit;
  const causes = fewestCauses([...plane.gain, ...(camera ? fit.camera!.gain : [])]);
  const first = sources.reserve(Math.max(...causes.map((parts) => parts.length)));
  /** Row of the plane's gain, then of the camera's. */
  const uncertain = (value: number, row: number) => {
    const parts = causes[row]!.map((part) => part * widen);
    return fromParts(
      value,
      parts.map((_, k) => first + k),
      parts,
    );
  };
  const elements = plane.elements.map(uncertain);
  const bent = plane.lens;
  const coefficients = [bent.lens.k1, bent.lens.k2 ?? 0]
    .slice(0, bent.find)
    .map((value, k) => uncertain(value, 8 + k));
  const inverse = invert(plane.homography);
  const seen = camera && {
    camera,
    lens: lensOf(bent, [fit.camera!.lens.k1, fit.camera!.lens.k2 ?? 0]),
    deviations: fit.camera!.gain.map((_, row) => uncertain(0, plane.gain.length + row)),
    at: ([zoom, t0, t1, t2, m0, m1, m2, ...k]: readonly number[]) => {
      const moved = nudged(camera, zoom!, [t0!, t1!, t2!], [m0!, m1!, m2!]);
      const base = fit.camera!.lens;
      const lens = lensOf(bent, [base.k1 + (k[0] ?? 0), (base.k2 ?? 0) + (k[1] ?? 0)]);
      return { camera: moved, straighten: (u: number, v: number) => undistort(lens, moved, u, v) };
    },
  };
  return {
    place: (mark: UncertainMark) => {
      const { u, v } = isStraight(bent.lens) && bent.find === 0 ? mark : unbent(mark, bent, coefficients);
      const [x, y, w] = iceToPicture(inverse, u.value, v.value);
      return inFront(plane, x, y, w) ? placed(plane, elements, x, y, u, v) : null;
    },
    cameraIn: () => seen,
    unplacedWhy: () => null,
    noCamera:
      "The ice points do not show how high the camera is and how it looks, so points off the ice can't be placed. Mark six or more ice points, spread along the lane and across it, with the camera looking along the ice rather than down on it.",
    offIceWhy,
    hull,
    acrossWhy: null,
    betweenFramesWhy: null,
    alongWhy: null,
    mostHeadingDeg: null,
  };
}

/** A mark with the lens taken out. */
function unbent(mark: UncertainMark, bent: LensModel, coefficients: readonly Uncertain[]): UncertainMark {
  const { cx, cy, focalPx } = bent.frame;
  const s = straightened(bent.lens, bent.frame, mark.u.value, mark.v.value);
  const inputs = [mark.u, mark.v, ...coefficients];
  const whole = calculation((u, v, ...k) => undistort(lensOf(bent, k), bent.frame, u!, v!), inputs);
  const found = [s.byK1, s.byK2].slice(0, bent.find);
  return {
    u: linear(cx + focalPx * s.x, inputs, [s.xx, s.xy, ...found.map((by) => focalPx * by[0])], whole, 0),
    v: linear(cy + focalPx * s.y, inputs, [s.xy, s.yy, ...found.map((by) => focalPx * by[1])], whole, 1),
  };
}

/**
 * Place (x, y) of a straightened mark (u, v) with its uncertainty. Where the plane's elements move the picture
 * of the place by δ, the mark belongs to the place that is δ back: one 2 x 2 inverse serves marks and elements.
 */
function placed(
  plane: PlaneFit,
  elements: readonly Uncertain[],
  x: number,
  y: number,
  u: Uncertain,
  v: Uncertain,
): UncertainPlace {
  const [ux, uy, vx, vy] = slopes(plane.homography, x, y);
  const det = ux * vy - uy * vx;
  // Normalised coordinates, in which the elements are.
  const nx = (x - plane.ice.x) * plane.ice.scale;
  const ny = (y - plane.ice.y) * plane.ice.scale;
  const w = plane.elements[6]! * nx + plane.elements[7]! * ny + 1;
  const nu = (u.value - plane.picture.x) * plane.picture.scale;
  const nv = (v.value - plane.picture.y) * plane.picture.scale;
  const px = 1 / (w * plane.picture.scale);
  const inputs = [u, v, ...elements];
  const along = (byU: number, byV: number) => {
    const [a, b] = [-byU * px, -byV * px];
    const both = -(nu * a + nv * b);
    return [byU, byV, a * nx, a * ny, a, b * nx, b * ny, b, both * nx, both * ny];
  };
  return {
    x: linear(x, inputs, along(vy / det, -uy / det)),
    y: linear(y, inputs, along(-vx / det, ux / det)),
  };
}
