import type { UncertainPlace } from "../../ice/camera/ground.ts";
import { distanceOutside } from "../../ice/points/hull.ts";
import { sameSpot } from "../../marks/checkBlades.ts";
import { bladeNumber, markNumber } from "../../marks/markTable.ts";
import { pointWords } from "../../marks/pointWords.ts";
import { HEEL_LIFT_U, OUTSIDE_HULL } from "../../priors.ts";
import type { PointName, Side } from "../../study/types.ts";
import { type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { type Contact, contactFrame, contactNumber } from "./contact.ts";
import { slot } from "./notebook.ts";
import { heightAtContact } from "./offTheIce.ts";
import type { StrideEvents } from "./strideOrder.ts";
import type { TrialGeometry } from "./trialGeometry.ts";
import { refuseBeyondLens } from "./withinLens.ts";

const AT_CONTACT = slot<number, UncertainPlace>();
const ON_ICE = slot<number, BladePlace>();
const POINT = slot<number, UncertainPlace>();

/** The middle of a blade on the ice. */
export interface BladePlace extends UncertainPlace {
  readonly frame: number;
  readonly side: Side;
  /** How far outside the ice reference it lies, metres; 0 = inside. */
  readonly outside: number;
}

/** Blade point (middle of heel and toe) of the stride's own blade in the frame of an event. @throws {Unmeasurable} */
export function bladeAt(trial: TrialGeometry, stride: StrideEvents, contact: Contact): UncertainPlace {
  const { frame } = contactFrame(stride, contact);
  return trial.remember(AT_CONTACT, contactNumber(stride, contact), () => {
    const onIce = bladeOnIce(trial, frame, stride.side);
    return lifted(trial, onIce, stride, contact);
  });
}

/** Blade point of a blade that is on the ice in this frame. @throws {Unmeasurable} */
export function bladeOnIce(trial: TrialGeometry, frame: number, side: Side): BladePlace {
  return trial.remember(ON_ICE, bladeNumber(frame, side), () => {
    refuseDot(trial, frame, side);
    const heel = pointOnIce(trial, frame, side, "blade_heel");
    const toe = pointOnIce(trial, frame, side, "blade_toe");
    const middle = (a: Uncertain, b: Uncertain) =>
      weightedSum([
        [0.5, a],
        [0.5, b],
      ]);
    const place = widenedOutside(trial, { x: middle(heel.x, toe.x), y: middle(heel.y, toe.y) }, frame, side);
    return { ...place, x: trial.condensed(place.x), y: trial.condensed(place.y) };
  });
}

/** The same, or null where it is not marked or not on the ice. */
export function tryPlace(trial: TrialGeometry, frame: number, side: Side): BladePlace | null {
  try {
    return bladeOnIce(trial, frame, side);
  } catch (error) {
    if (error instanceof Unmeasurable) return null;
    throw error;
  }
}

/** A point that is on the ice in this frame. @throws {Unmeasurable} */
export function pointOnIce(
  trial: TrialGeometry,
  frame: number,
  side: Side,
  point: PointName,
): UncertainPlace {
  return trial.remember(POINT, markNumber(frame, side, point), () => {
    const mark = trial.pictureMark(frame, side, point);
    if (!mark) {
      throw new Unmeasurable(`The ${pointWords(point, side)} is not marked in frame ${frame}.`);
    }
    const why = trial.ground.unplacedWhy(frame);
    if (why) throw new Unmeasurable(why);
    refuseBeyondLens(trial, mark, frame, pointWords(point, side));
    const place = trial.ground.place(mark, frame);
    if (!place) {
      throw new Unmeasurable(
        `The ${pointWords(point, side)} in frame ${frame} is marked above the horizon, where there is no ice.`,
      );
    }
    return place;
  });
}

/** Places the readings rest on that lie outside the ice reference, the farthest first. */
export function placesOutside(trial: TrialGeometry): BladePlace[] {
  return trial
    .inUse(ON_ICE)
    .filter(({ outside }) => outside > 0)
    .sort((a, b) => b.outside - a.outside || a.frame - b.frame || (a.side < b.side ? -1 : 1));
}

function refuseDot(trial: TrialGeometry, frame: number, side: Side): void {
  const heel = trial.pictureMark(frame, side, "blade_heel");
  const toe = trial.pictureMark(frame, side, "blade_toe");
  if (!heel || !toe || !sameSpot(inPicture(heel), inPicture(toe))) return;
  throw new Unmeasurable(
    `The ${side} blade's heel and toe ends are marked on the same spot in frame ${frame}. Mark both ends of the runner.`,
  );
}

function inPicture({ u, v }: { readonly u: Uncertain; readonly v: Uncertain }) {
  return { xPx: u.value, yPx: v.value };
}

/**
 * The doubt whether the blade touches the ice in the picked frame: a shift straight away from the camera. It is off the ice
 * only in a frame picked beside the contact, so the shift goes along with how the event's time errs.
 */
function lifted(
  trial: TrialGeometry,
  place: UncertainPlace,
  stride: StrideEvents,
  contact: Contact,
): UncertainPlace {
  const eye = trial.ground.eyeIn(contactFrame(stride, contact).frame);
  if (!eye) return place;
  const height = weightedSum([
    [1, heightAtContact(trial, stride, contact)],
    [1, trial.sources.add(0, HEEL_LIFT_U / 2)],
  ]);
  const away = (at: Uncertain, from: number) =>
    weightedSum([
      [1, at],
      [(from - at.value) / eye.z, height],
    ]);
  return { x: away(place.x, eye.x), y: away(place.y, eye.y) };
}

function widenedOutside(trial: TrialGeometry, place: UncertainPlace, frame: number, side: Side): BladePlace {
  const { hull } = trial.ground;
  const outside = hull.length < 3 ? 0 : distanceOutside(hull, { x: place.x.value, y: place.y.value });
  if (outside === 0) return { ...place, frame, side, outside };
  const widen = (along: Uncertain) =>
    weightedSum([
      [1, along],
      [1, trial.sources.add(0, OUTSIDE_HULL * outside)],
    ]);
  return { x: widen(place.x), y: widen(place.y), frame, side, outside };
}
