import type { UncertainPlace } from "../../ice/camera/ground.ts";
import {
  HIP_FROM_LANDING,
  HIP_FROM_LEAVING,
  HIP_FROM_STANDING_AT_OFF,
  HIP_FROM_STANDING_AT_ON,
  HIP_HEIGHT,
  HIP_SPEED,
  OWN_HIP_HEIGHT_U,
  type Prior,
  SPEED_DOUBT,
} from "../../priors.ts";
import type { EventFrame, Side } from "../../study/types.ts";
import { realSeconds } from "../../time/speedFactor.ts";
import { derive, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { distance, otherSide, sideSign } from "./across.ts";
import { airbornePoint, markMiddle, type UncertainPoint } from "./airborne.ts";
import { tryPlace } from "./bladePlaces.ts";
import type { Contact } from "./contact.ts";
import { type Slot, slot } from "./notebook.ts";
import { leftward, onward } from "./onLine.ts";
import type { StrideEvents } from "./strideOrder.ts";
import { speedAlong, type TravelLine } from "./travelLine.ts";
import type { TrialGeometry } from "./trialGeometry.ts";
import { viewAngleDeg } from "./viewAngle.ts";

const HIP = slot<number, UncertainPoint>();
const CONTACTS = slot<0, BodyContact[]>();

/** Beyond this angle between view and travel the hips' place across is only guessed from their height. */
const SIDE_VIEW_DEG = 60;

/**
 * Mid-hip in a frame, the middle of both hips, off the ice. Where that frame has no hips, from those of a frame close by
 * (`hipsFrame`), carried on by the skater's speed and by what hips may sway meanwhile.
 */
export function midHip(trial: TrialGeometry, frame: number, line: TravelLine): UncertainPoint {
  return trial.rememberOf(line, HIP, frame, () => {
    const at = hipsFrame(trial, frame);
    return at === frame
      ? findHip(trial, frame, line)
      : carriedOn(trial, midHip(trial, at, line), frame - at, line);
  });
}

/** What finds mid-hip in a frame. @throws {Unmeasurable} */
export type HipAt = (trial: TrialGeometry, frame: number, line: TravelLine) => UncertainPlace;

/** Hips are looked for in frames fewer than this many away. */
const HIPS_WITHIN = 4;

/** The frame whose hips serve for a frame: itself, or the nearest that has both; the earlier of two as near. */
function hipsFrame(trial: TrialGeometry, frame: number): number {
  const has = (at: number, side: Side) => trial.pictureMark(at, side, "hip") !== null;
  // One hip says that somebody looked here: then the other one is missing, and that is what is said.
  if (has(frame, "left") || has(frame, "right")) return frame;
  for (let away = 1; away < HIPS_WITHIN; away++) {
    for (const at of [frame - away, frame + away]) if (has(at, "left") && has(at, "right")) return at;
  }
  return frame;
}

/** Speed across the travel that hips may have in any frame, m/s, either way: the root mean square of `HIP_SPEED`. */
const SWAY_U = Math.hypot(HIP_SPEED.mean, HIP_SPEED.u);

/** Mid-hip so many frames later (before 0: earlier). */
function carriedOn(
  trial: TrialGeometry,
  hip: UncertainPoint,
  frames: number,
  line: TravelLine,
): UncertainPoint {
  const seconds = frames * trial.frameSeconds;
  const { from, to } = line;
  const sway = trial.sources.add(0, SWAY_U * Math.abs(seconds));
  const inputs = [hip.x, hip.y, from.x, from.y, to.x, to.y, speedAlong(trial, line), sway];
  // The direction counts with its own uncertainty: along the line itself, however it lies, hips do not go aside.
  const [x, y] = derive((...[hx, hy, fx, fy, tx, ty, speed, aside]) => {
    const length = distance(tx! - fx!, ty! - fy!);
    const [dx, dy] = [(tx! - fx!) / length, (ty! - fy!) / length];
    const along = speed! * seconds;
    return [hx! + along * dx - aside! * dy, hy! + along * dy + aside! * dx];
  }, inputs);
  return { x: trial.condensed(x!), y: trial.condensed(y!), z: hip.z };
}

function findHip(trial: TrialGeometry, frame: number, line: TravelLine): UncertainPoint {
  refuseOneSpot(trial, frame);
  const mark = markMiddle(trial, frame, [
    ["left", "hip"],
    ["right", "hip"],
  ]);
  const point = airbornePoint(trial, { frame, mark }, line, {
    along: bodyAlong(trial, frame, line),
    height: hipHeight(trial, frame),
  });
  refuseSideView(trial, frame, point, line);
  return { ...point, x: trial.condensed(point.x), y: trial.condensed(point.y) };
}

/** Outward distance of a blade on the ice, or in the air, from mid-hip across the travel, metres. */
export function outwardOfHip(
  side: Side,
  blade: UncertainPlace,
  hip: UncertainPlace,
  line: TravelLine,
): Uncertain {
  return weightedSum([[sideSign(side), leftward(line, hip, blade)]]);
}

/** Closer in the picture than this, px, the second press fell where the first did: hips are 0.2 m apart and more. */
const DOUBLE_PRESS_PX = 1;

function refuseOneSpot(trial: TrialGeometry, frame: number): void {
  const left = trial.pictureMark(frame, "left", "hip");
  const right = trial.pictureMark(frame, "right", "hip");
  if (!left || !right) return;
  if (Math.hypot(left.u.value - right.u.value, left.v.value - right.v.value) >= DOUBLE_PRESS_PX) return;
  throw new Unmeasurable(
    `Both hips are marked on the very same spot in frame ${frame}, as by a double press. Mark each hip by itself.`,
  );
}

function refuseSideView(trial: TrialGeometry, frame: number, point: UncertainPlace, line: TravelLine): void {
  const angle = viewAngleDeg(trial, frame, point, line);
  if (angle === null || angle <= SIDE_VIEW_DEG) return;
  throw new Unmeasurable(
    `The camera looks across the lane here (${angle.toFixed(0)}° to the travel), and from the side the hips' distance to the blade across the lane can't be told. Film from behind the start or facing from the finish.`,
  );
}

/** Half of a belief's variance is this skater's habit, the same in every frame; half differs from frame to frame. */
interface Belief {
  readonly what: string;
  readonly habit: Slot<0, Uncertain>;
  readonly ofFrame: Slot<number, Uncertain>;
}

const newBelief = (what: string): Belief => ({ what, habit: slot(), ofFrame: slot() });

function believe(trial: TrialGeometry, belief: Belief, frame: number, prior: Prior): Uncertain {
  const part = prior.u * Math.SQRT1_2;
  return weightedSum([
    [1, trial.remember(belief.habit, 0, () => trial.belief(belief.what, null, { ...prior, u: part }))],
    [1, trial.remember(belief.ofFrame, frame, () => trial.belief(belief.what, frame, { mean: 0, u: part }))],
  ]);
}

const HEIGHT = newBelief("hip height");

/** Height of mid-hip above the ice before looking, metres. */
export function hipHeight(trial: TrialGeometry, frame: number): Uncertain {
  const own = trial.body.hipHeight;
  return believe(trial, HEIGHT, frame, own === undefined ? HIP_HEIGHT : { mean: own, u: OWN_HIP_HEIGHT_U });
}

/** A blade that tells where the body is, in one frame. */
interface Guess {
  readonly frame: number;
  readonly seconds: number;
  readonly blade: UncertainPlace;
  readonly belief: Belief;
  readonly prior: Prior;
}

/**
 * Where mid-hip is along the line of travel in a frame (from the line's first point, metres), as far as the
 * blades tell: from a blade in the same frame, else between the nearest frames with one before and after.
 */
export function bodyAlong(trial: TrialGeometry, frame: number, line: TravelLine): Uncertain {
  const [before, after] = around(trial, frame);
  const nearest = !before || (after && after.frame - frame < frame - before.frame) ? after : before;
  if (!nearest) throw new Unmeasurable("No blade is marked that shows where along the lane the skater is.");
  if (nearest.frame === frame) return guessAlong(trial, nearest, line);
  const seconds = nearest.seconds + (frame - nearest.frame) * trial.frameSeconds;
  const beyond = nearest === before ? after : before;
  if (beyond) {
    const share = (seconds - nearest.seconds) / (beyond.seconds - nearest.seconds);
    return weightedSum([
      [1 - share, guessAlong(trial, nearest, line)],
      [share, guessAlong(trial, beyond, line)],
    ]);
  }
  const travelled = speedAlong(trial, line).value * (seconds - nearest.seconds);
  return weightedSum([
    [1, guessAlong(trial, nearest, line)],
    [1, trial.sources.add(travelled, SPEED_DOUBT * Math.abs(travelled))],
  ]);
}

/** The last guess up to a frame and the first after it. */
function around(trial: TrialGeometry, frame: number): [Guess | null, Guess | null] {
  const contacts = trial.remember(CONTACTS, 0, () => contactsOf(trial.strides));
  let [low, high] = [0, contacts.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (contacts[middle]!.event.frame <= frame) low = middle + 1;
    else high = middle;
  }
  const first = (from: number, step: 1 | -1): Guess | null => {
    for (let k = from; contacts[k]; k += step) {
      const guess = guessAt(trial, contacts[k]!);
      if (guess) return guess;
    }
    return null;
  };
  return [first(low - 1, -1), first(low, 1)];
}

function guessAlong(trial: TrialGeometry, guess: Guess, line: TravelLine): Uncertain {
  const { blade, belief, frame, prior } = guess;
  return weightedSum([
    [1, onward(line, line.from, blade)],
    [1, believe(trial, belief, frame, prior)],
  ]);
}

/** A contact of a stride's own blade, at which the other one stands. */
interface BodyContact {
  readonly side: Side;
  readonly contact: Contact;
  readonly event: EventFrame;
}

/** In order of frames. */
function contactsOf(strides: readonly StrideEvents[]): BodyContact[] {
  const contacts = strides.flatMap(({ off, on, side }): BodyContact[] => [
    { side, contact: "blade_off", event: off },
    ...(on ? [{ side, contact: "blade_on", event: on } as const] : []),
  ]);
  return contacts.sort((a, b) => a.event.frame - b.event.frame);
}

/** From the standing blade where it is marked; null where the blade has no place. */
function guessAt(trial: TrialGeometry, { side, contact, event }: BodyContact): Guess | null {
  const standing = otherSide(side);
  const isStanding = trial.isBladeMarked(event.frame, standing);
  const blade = tryPlace(trial, event.frame, isStanding ? standing : side);
  const [belief, prior] = BODY_FROM[contact][isStanding ? "standing" : "own"];
  const seconds = realSeconds(event.time, trial.speedFactor);
  return blade && { frame: event.frame, seconds, blade, belief, prior };
}

const BODY_FROM = {
  blade_off: {
    standing: [newBelief("hips from the standing blade at off"), HIP_FROM_STANDING_AT_OFF],
    own: [newBelief("hips from the leaving blade"), HIP_FROM_LEAVING],
  },
  blade_on: {
    standing: [newBelief("hips from the standing blade at on"), HIP_FROM_STANDING_AT_ON],
    own: [newBelief("hips from the landing blade"), HIP_FROM_LANDING],
  },
} as const;
