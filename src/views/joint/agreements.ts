import type { UncertainPlace } from "../../ice/camera/ground.ts";
import { outwardSlide, slideAt, standingSlide } from "../../kinematics/tracks/slides.ts";
import { otherSide, sideSign } from "../../kinematics/trial/across.ts";
import { bladeAt, bladeOnIce } from "../../kinematics/trial/bladePlaces.ts";
import type { Contact } from "../../kinematics/trial/contact.ts";
import type { StrideEvents } from "../../kinematics/trial/strideOrder.ts";
import { speedAlong, type TravelLine, travelLine } from "../../kinematics/trial/travelLine.ts";
import { OFF_SPEED_SHARE } from "../../priors.ts";
import type { Side } from "../../study/types.ts";
import { condensed, product, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import type { Push } from "./pushes.ts";
import { borrowed, had, type Joint, type View } from "./view.ts";

/** Something that two views tell, each in its own way, so that the differences are 0. */
export interface Agreement {
  readonly what: "time" | "blade" | "standing blade";
  readonly contact: Contact;
  readonly side: Side;
  readonly push: Push;
  /** The two views, by number from 0, and the frames in which they show it. */
  readonly views: readonly [number, number];
  readonly frames: readonly [number, number];
  /** First less second: seconds; or metres along and across the travel. */
  readonly differences: readonly Uncertain[];
  /** The same as they are judged: with what a picked frame does now and then beside how it errs on average. */
  readonly judged: readonly Uncertain[];
  /** Where it was by either view, metres on the ice; null for times. */
  readonly places: readonly [Flat, Flat] | null;
  /** Unit vector of the travel. */
  readonly travel: Flat | null;
}

export type Flat = readonly [x: number, y: number];

/** Everything on the ice and in time that two views show of the same pushes, each with the next view that shows it. */
export function agreements(joint: Joint): Agreement[] {
  return joint.pushes.flatMap((push) => {
    const shown = joint.views.filter(({ index }) => push.strides[index] && !push.exchanged.includes(index));
    return shown.slice(1).flatMap((b, k) => between(push, shown[k]!, b));
  });
}

function between(push: Push, a: View, b: View): Agreement[] {
  const strides = [push.strides[a.index]!, push.strides[b.index]!] as const;
  const line = commonLine(a, b, strides);
  return (["blade_off", "blade_on"] as const).flatMap((contact) => {
    const events = strides.map((s) => (contact === "blade_off" ? s.off : s.on));
    const [first, second] = events;
    if (!first || !second) return [];
    const common = { contact, push, views: [a.index, b.index], frames: [first.frame, second.frame] } as const;
    const time = weightedSum([
      [1, a.tie.toFirst(a.trial.eventTime(strides[0], contact))],
      [-1, b.tie.toFirst(b.trial.eventTime(strides[1], contact))],
    ]);
    const found: Agreement[] = [
      { ...common, what: "time", side: push.side, ...alike([whole(time)]), places: null, travel: null },
    ];
    if (!line) return found;
    const own = placesApart(line, [a, b], (view, v) => bladeMoved(view, strides[v]!, contact, line[v]!));
    if (own) found.push({ ...common, what: "blade", side: push.side, ...own });
    if (contact === "blade_on") return found;
    const standing = placesApart(line, [a, b], (view, v) => standingMoved(view, strides[v]!, line[v]!));
    if (standing) found.push({ ...common, what: "standing blade", side: otherSide(push.side), ...standing });
    return found;
  });
}

/** The travel as one of the two tells it, for each of them to reckon along. */
function commonLine(
  a: View,
  b: View,
  strides: readonly [StrideEvents, StrideEvents],
): readonly [TravelLine, TravelLine] | null {
  const first = had(() => travelLine(a.trial, strides[0].stride));
  if (first) return [first, borrowed(first, b.trial)];
  const second = had(() => travelLine(b.trial, strides[1].stride));
  return second && [borrowed(second, a.trial), second];
}

/** A place in the picked frame, and how far it moves from there to the event: along, and to the left. */
interface Moving {
  readonly place: UncertainPlace;
  readonly along: Uncertain;
  readonly leftward: Uncertain;
  readonly frame: number;
}

/**
 * A frame picked one too late or too early shows a blade that is off the ice: it is laid out along the view, and travels on its own.
 * How that errs on average is in the places already (`lifted` in bladePlaces.ts); but it is nothing in most frames and much in
 * few, so whether two views disagree is judged with more. SD of its height at 60 frames a second, metres, and of what it travels
 * beyond what it would on the ice, as a share of the skater's way in a frame. [judgement]
 */
const LIFTED = 0.007;
const RUNS_ON = 0.1;

/** What a blade that has left the ice adds to where it seems: away from the camera for its height, and ahead. */
function airborne({ trial }: View, place: UncertainPlace, frame: number, speed: number) {
  const { sources, frameSeconds } = trial;
  const eye = trial.ground.eyeIn(frame);
  const away = eye
    ? { x: (place.x.value - eye.x) / eye.z, y: (place.y.value - eye.y) / eye.z }
    : { x: 0, y: 0 };
  return {
    ahead: sources.add(0, RUNS_ON * speed * frameSeconds),
    away: { ...away, lift: sources.add(0, LIFTED * 60 * frameSeconds) },
  };
}

function placesApart(
  [line]: readonly [TravelLine, TravelLine],
  views: readonly [View, View],
  moving: (view: View, v: 0 | 1) => Moving,
): Pick<Agreement, "differences" | "judged" | "places" | "travel"> | null {
  const found = had(() => [moving(views[0], 0), moving(views[1], 1)] as const);
  if (!found) return null;
  const [p, q] = found;
  const speed = had(() => speedAlong(views[0].trial, line).value) ?? 0;
  const doubts = found.map(({ place, frame }, k) => airborne(views[k]!, place, frame, speed));
  const [dx, dy] = [line.to.x.value - line.from.x.value, line.to.y.value - line.from.y.value];
  const long = Math.hypot(dx, dy);
  const [tx, ty] = [dx / long, dy / long];
  const apart = (x: number, y: number, moved: "along" | "leftward") =>
    whole(
      weightedSum([
        [x, p.place.x],
        [y, p.place.y],
        [1, p[moved]],
        [-x, q.place.x],
        [-y, q.place.y],
        [-1, q[moved]],
      ]),
    );
  const [along, left] = [apart(tx, ty, "along"), apart(-ty, tx, "leftward")];
  const offIce = (x: number, y: number, own: Uncertain, ahead: 0 | 1) =>
    whole(
      weightedSum([
        [1, own],
        ...doubts.flatMap((doubt) => [
          [ahead, doubt.ahead] as const,
          [x * doubt.away.x + y * doubt.away.y, doubt.away.lift] as const,
        ]),
      ]),
    );
  return {
    differences: [along, left],
    judged: [offIce(tx, ty, along, 1), offIce(-ty, tx, left, 0)],
    places: [flat(p.place), flat(q.place)],
    travel: [tx, ty],
  };
}

function bladeMoved({ trial }: View, stride: StrideEvents, contact: Contact, line: TravelLine): Moving {
  const outward = outwardSlide(trial, stride, contact, line);
  const share = contact === "blade_off" ? "off speed share" : "on speed share";
  const speed = product(speedAlong(trial, line), trial.sharedPrior(share, OFF_SPEED_SHARE));
  return {
    place: bladeAt(trial, stride, contact),
    along: slideAt(trial, stride, contact, speed),
    leftward: weightedSum([[sideSign(stride.side), outward]]),
    frame: (contact === "blade_off" ? stride.off : stride.on)!.frame,
  };
}

function standingMoved({ trial }: View, stride: StrideEvents, line: TravelLine): Moving {
  const standing = otherSide(stride.side);
  const speed = product(speedAlong(trial, line), trial.sharedPrior("on speed share", OFF_SPEED_SHARE));
  return {
    place: bladeOnIce(trial, stride.off.frame, standing),
    along: slideAt(trial, stride, "blade_off", speed),
    leftward: weightedSum([[sideSign(standing), standingSlide(trial, stride, line)]]),
    frame: stride.off.frame,
  };
}

function flat({ x, y }: UncertainPlace): Flat {
  return [x.value, y.value];
}

/** Judged as they are. */
function alike(differences: readonly Uncertain[]) {
  return { differences, judged: differences };
}

function whole(value: Uncertain): Uncertain {
  return condensed(value, false);
}
