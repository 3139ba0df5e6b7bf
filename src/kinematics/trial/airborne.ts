import type {
  SeeingCamera,
  UncertainCamera,
  UncertainMark,
  UncertainPlace,
} from "../../ice/camera/ground.ts";
import { likeliestPoint } from "../../ice/camera/likeliestPoint.ts";
import { likeliestSlopes } from "../../ice/camera/likeliestSlopes.ts";
import { raySlopes } from "../../ice/camera/raySlopes.ts";
import { pointWords } from "../../marks/pointWords.ts";
import type { PointName, Side } from "../../study/types.ts";
import { calculation, linear, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { distance } from "./across.ts";
import { slot } from "./notebook.ts";
import type { TravelLine } from "./travelLine.ts";
import type { TrialGeometry } from "./trialGeometry.ts";
import { refuseBeyondLens } from "./withinLens.ts";

const CAMERA_STEPS = slot<number, (deviations: readonly number[]) => SeeingCamera>();

/** A point off the ice, metres in the ice frame; how far up is only told. */
export interface UncertainPoint extends UncertainPlace {
  readonly z: number;
}

/** Where a point is before looking: along the line of travel (from its first point) and above the ice, metres. */
export interface AirborneBelief {
  readonly along: Uncertain;
  readonly height: Uncertain;
}

/** A point marked in the picture, or the middle between several of them. */
export function markMiddle(
  trial: TrialGeometry,
  frame: number,
  points: readonly (readonly [Side, PointName])[],
): UncertainMark {
  const marks = points.map(([side, point]) => trial.pictureMark(frame, side, point));
  const missing = points.filter((_, k) => marks[k] === null);
  if (missing.length > 0) {
    const names = missing.map(([side, point]) => pointWords(point, side)).join(" and the ");
    throw new Unmeasurable(`The ${names} ${missing.length > 1 ? "are" : "is"} not marked in frame ${frame}.`);
  }
  points.forEach(([side, point], k) => {
    refuseBeyondLens(trial, marks[k]!, frame, pointWords(point, side));
  });
  const share = 1 / marks.length;
  return {
    u: weightedSum(marks.map((m) => [share, m!.u])),
    v: weightedSum(marks.map((m) => [share, m!.v])),
  };
}

/** The camera for deviations, remembered where at most one is not 0: a derivative asks for the same few again and again. */
export function cameraSteps(
  trial: TrialGeometry,
  view: UncertainCamera,
  frame: number,
): (deviations: readonly number[]) => SeeingCamera {
  return trial.remember(CAMERA_STEPS, frame, () => rememberedSteps(view));
}

function rememberedSteps(view: UncertainCamera): (deviations: readonly number[]) => SeeingCamera {
  const known = new Map<number, Map<number, SeeingCamera>>();
  return (deviations) => {
    let moved = -1;
    for (let k = 0; k < deviations.length; k++) {
      if (deviations[k] === 0) continue;
      if (moved >= 0) return view.at(deviations);
      moved = k;
    }
    const step = moved < 0 ? 0 : deviations[moved]!;
    const steps = known.get(moved) ?? new Map<number, SeeingCamera>();
    known.set(moved, steps);
    const camera = steps.get(step) ?? view.at(deviations);
    steps.set(step, camera);
    return camera;
  };
}

/**
 * Where a mark off the ice most likely is, by `likeliestPoint`. The beliefs' own uncertainties are their SDs,
 * so the result's uncertainty is that of the best combination of ray and beliefs.
 */
export function airbornePoint(
  trial: TrialGeometry,
  { frame, mark }: { readonly frame: number; readonly mark: UncertainMark },
  line: TravelLine,
  belief: AirborneBelief,
): UncertainPoint {
  const { ground } = trial;
  const { along, height } = belief;
  const view = ground.cameraIn(frame);
  if (!view) throw new Unmeasurable(ground.unplacedWhy(frame) ?? ground.noCamera);
  if (ground.offIceWhy) throw new Unmeasurable(ground.offIceWhy);
  const sds = { alongSd: along.u, heightSd: height.u };
  const { from, to } = line;
  const inputs = [mark.u, mark.v, along, height, from.x, from.y, to.x, to.y, ...view.deviations];
  const whole = calculation(([u, v, a, h, fx, fy, tx, ty, ...deviations]) => {
    const { camera, straighten } = view.at(deviations);
    const length = distance(tx! - fx!, ty! - fy!);
    const direction = [(tx! - fx!) / length, (ty! - fy!) / length] as const;
    const start = a! + fx! * direction[0] + fy! * direction[1];
    return likeliestPoint(camera, ...straighten(u!, v!), { direction, along: start, height: h!, ...sds });
  }, inputs);
  const sight = raySlopes(view.camera, view.lens, mark.u.value, mark.v.value);
  const known = { from: [from.x.value, from.y.value], to: [to.x.value, to.y.value], ...sds } as const;
  const beliefs = { along: along.value, height: height.value };
  const { x, y, z, byX, byY } = likeliestSlopes(
    view.camera,
    sight,
    { ...known, ...beliefs },
    view.deviations.length,
  );
  return { x: linear(x, inputs, byX, whole, 0), y: linear(y, inputs, byY, whole, 1), z };
}
