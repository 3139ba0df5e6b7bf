import { fewestCauses } from "../../uncertainty/fewestCauses.ts";
import { calculation, fromParts, linear, type Sources, type Uncertain } from "../../uncertainty/uncertain.ts";
import { nudged } from "../camera/camera.ts";
import { type CameraFit, CENTRE_AT, LENS_AT } from "../camera/fitCamera.ts";
import { type LensModel, lensOf, type PlaneFit } from "../camera/fitPlane.ts";
import {
  BEYOND_LENS,
  type Ground,
  type UncertainCamera,
  type UncertainMark,
  type UncertainPlace,
} from "../camera/ground.ts";
import { iceToPicture, invert } from "../camera/homography.ts";
import { isStraight, isWithinReach, undistort } from "../camera/lens.ts";
import { straightened } from "../camera/lensSlopes.ts";
import { placeOnIce } from "../camera/placeOnIce.ts";
import { rememberedInTurn } from "../camera/rememberedInTurn.ts";
import { inFront } from "./pointFit.ts";
import { slopes } from "./weighedPairs.ts";

/** A value and its row of a gain. */
type Row = (value: number, row: number) => Uncertain;

/**
 * Ice points as the core measures with them: through the camera, or by the plane alone where no camera is known that
 * sees the points so. `widen` multiplies the fit's own uncertainty; all gains count the same causes.
 *
 * @param seen the camera where places on the ice are read through it
 * @param usable the same camera where it is known well enough for what is off the ice
 */
export function pointGround(
  plane: PlaneFit,
  { seen, usable }: { readonly seen: CameraFit | null; readonly usable: CameraFit | null },
  widen: number,
  { hull, offIceWhy }: Pick<Ground, "hull" | "offIceWhy">,
  sources: Sources,
): Ground {
  const fit = seen ?? usable;
  const cameraGain = fit ? fit.gain : [];
  const planeGain = seen ? [] : plane.gain;
  const causes = fewestCauses([...planeGain, ...cameraGain]);
  const first = sources.reserve(Math.max(...causes.map((parts) => parts.length)));
  const uncertain: Row = (value, row) => {
    const parts = causes[row]!.map((part) => part * widen);
    return fromParts(
      value,
      parts.map((_, k) => first + k),
      parts,
    );
  };
  const view = fit && cameraOf(fit, (value, row) => uncertain(value, planeGain.length + row));
  const [lens, frame] = seen ? [seen.lens, seen.camera] : [plane.lens.lens, plane.lens.frame];
  return {
    place: view && seen ? (mark) => placeOnIce(view, mark) : planePlacer(plane, uncertain),
    cameraIn: () => (usable ? view : null),
    eyeIn: () => fit?.camera ?? null,
    unplacedWhy: () => null,
    beyondLensWhy: (u, v) => (isWithinReach(lens, frame, u, v) ? null : BEYOND_LENS),
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

function cameraOf(fit: CameraFit, uncertain: Row): UncertainCamera {
  const { camera, lens } = fit;
  return {
    camera,
    lens,
    deviations: fit.gain.map((_, row) => uncertain(0, row)),
    at: rememberedInTurn((d) => {
      const moved = nudged(
        camera,
        d[0]!,
        [d[1]!, d[2]!, d[3]!],
        [d[4]!, d[5]!, d[6]!],
        [d[CENTRE_AT]!, d[CENTRE_AT + 1]!],
      );
      const now = lensOf(fit, [lens.k1 + (d[LENS_AT] ?? 0), (lens.k2 ?? 0) + (d[LENS_AT + 1] ?? 0)]);
      return { camera: moved, straighten: (u, v) => undistort(now, moved, u, v) };
    }),
  };
}

function planePlacer(plane: PlaneFit, uncertain: Row): (mark: UncertainMark) => UncertainPlace | null {
  const elements = plane.elements.map(uncertain);
  const model = plane.lens;
  const coefficients = [model.lens.k1, model.lens.k2 ?? 0]
    .slice(0, model.find)
    .map((value, k) => uncertain(value, 8 + k));
  const inverse = invert(plane.homography);
  return (mark) => {
    if (!isWithinReach(model.lens, model.frame, mark.u.value, mark.v.value)) return null;
    const straight =
      isStraight(model.lens) && model.find === 0 ? mark : withoutLens(mark, model, coefficients);
    const [x, y, w] = iceToPicture(inverse, straight.u.value, straight.v.value);
    return inFront(plane, x, y, w) ? placed(plane, elements, straight, [x, y]) : null;
  };
}

/** A mark with the lens taken out. */
function withoutLens(
  mark: UncertainMark,
  model: LensModel,
  coefficients: readonly Uncertain[],
): UncertainMark {
  const { cx, cy, focalPx } = model.frame;
  const s = straightened(model.lens, model.frame, mark.u.value, mark.v.value);
  const inputs = [mark.u, mark.v, ...coefficients];
  const whole = calculation(([u, v, ...k]) => undistort(lensOf(model, k), model.frame, u!, v!), inputs);
  const found = [s.byK1, s.byK2].slice(0, model.find);
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
  { u, v }: UncertainMark,
  [x, y]: readonly [number, number],
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
