import { OFF_SPEED, ON_SPEED, type Prior, STANDING_SPEED } from "../../priors.ts";
import { timesNormalShape } from "../../time/eventTime.ts";
import { product, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import { distance, otherSide, sideSign } from "../trial/across.ts";
import { bladeOnIce } from "../trial/bladePlaces.ts";
import { type Contact, contactNumber } from "../trial/contact.ts";
import { slot } from "../trial/notebook.ts";
import { turnedBack } from "../trial/offTheIce.ts";
import type { StrideEvents } from "../trial/strideOrder.ts";
import { speedByToeOut } from "../trial/toeOut.ts";
import type { TravelLine } from "../trial/travelLine.ts";
import type { SharedPrior, TrialGeometry } from "../trial/trialGeometry.ts";

const OUTWARD = slot<number, Uncertain>();
const NEIGHBOUR = slot<number, number | null>();

/*
 * From the picked frame to the event: what moves meanwhile, and by how much. Every position at the event time
 * is its position at the frame plus such slides.
 */

/** A speed from two marks: over a shorter time the marks' noise rules, over a longer one the speed changes. Real seconds. */
const SPEED_SPAN = 0.04;
const SPEED_REACH = 0.06;
/** A speed from marks so many standard deviations from what blades do is a mistake. */
const NO_BLADE = 4;

/** How far the stride's blade moves outward from the picked frame to the event, metres (negative for a blade-on). */
export function outwardSlide(
  trial: TrialGeometry,
  stride: StrideEvents,
  contact: Contact,
  line: TravelLine,
): Uncertain {
  return trial.rememberOf(line, OUTWARD, contactNumber(stride, contact), () =>
    outwardWay(trial, stride, contact, line),
  );
}

/** A blade that is in the air in the picked frame has begun to come back. */
function outwardWay(
  trial: TrialGeometry,
  stride: StrideEvents,
  contact: Contact,
  line: TravelLine,
): Uncertain {
  const slide = slideAt(trial, stride, contact, outwardSpeed(trial, stride, contact, line));
  if (contact === "blade_on") return slide;
  return weightedSum([
    [1, slide],
    [1, turnedBack(trial, stride)],
  ]);
}

/** How far the blade that stands at a blade-off moves outward, on its own side, from the picked frame to the event, metres. */
export function standingSlide(trial: TrialGeometry, stride: StrideEvents, line: TravelLine): Uncertain {
  const prior = trial.sharedPrior("standing speed", STANDING_SPEED);
  const told = speedByToeOut(trial, stride.off.frame, otherSide(stride.side), line);
  return slideAt(trial, stride, "blade_off", surer(prior, told));
}

/** How far something moves meanwhile at a speed known only as a prior, metres. */
export function priorSlide(
  trial: TrialGeometry,
  stride: StrideEvents,
  contact: Contact,
  name: SharedPrior,
  speed: Prior,
): Uncertain {
  return slideAt(trial, stride, contact, trial.sharedPrior(name, speed));
}

/** How far something of this speed (m/s) moves meanwhile, metres. */
export function slideAt(
  trial: TrialGeometry,
  stride: StrideEvents,
  contact: Contact,
  speed: Uncertain,
): Uncertain {
  const delay = trial.eventDelay(stride, contact);
  const slide = product(speed, delay);
  // The delay is less sure than it is long, so the product of both doubts counts too (JCGM 100:2008, 5.1.2 note).
  const shape = timesNormalShape(trial.eventSource(stride, contact));
  return trial.secondOrder(slide, speed.u * delay.u, shape);
}

/** Outward speed at the event: what is known of any skater, where the blade points, and marks of it around the event where there are any. */
function outwardSpeed(
  trial: TrialGeometry,
  stride: StrideEvents,
  contact: Contact,
  line: TravelLine,
): Uncertain {
  const frame = (contact === "blade_off" ? stride.off : stride.on)!.frame;
  const habit = trial.sharedPrior(contact, contact === "blade_off" ? OFF_SPEED : ON_SPEED);
  const prior = surer(habit, speedByToeOut(trial, frame, stride.side, line));
  const neighbour = trial.remember(NEIGHBOUR, contactNumber(stride, contact), () =>
    neighbourFrame(trial, stride, contact, frame),
  );
  if (neighbour === null) return prior;
  const [at, near] = [bladeOnIce(trial, frame, stride.side), bladeOnIce(trial, neighbour, stride.side)];
  const [ax, ay, bx, by] = [line.from.x.value, line.from.y.value, line.to.x.value, line.to.y.value];
  const seconds = (frame - neighbour) * trial.frameSeconds;
  // Outward across the line as it stands.
  const perMetre = sideSign(stride.side) / (distance(bx - ax, by - ay) * seconds);
  const measured = weightedSum([
    [-(by - ay) * perMetre, at.x],
    [(by - ay) * perMetre, near.x],
    [(bx - ax) * perMetre, at.y],
    [-(bx - ax) * perMetre, near.y],
  ]);
  // No blade is that fast: the two marks are not of one blade, and the warnings say so.
  if (Math.abs(measured.value - prior.value) > NO_BLADE * Math.hypot(measured.u, prior.u)) return prior;
  const trust = trustOf(measured.u, prior.u, seconds, trial.eventDelay(stride, contact));
  return weightedSum([
    [trust, measured],
    [1 - trust, prior],
  ]);
}

/** A belief together with what marks tell of the same, weighted by how sure each is; the middle of two marks and the line through them err independently. */
function surer(belief: Uncertain, told: Uncertain | null): Uncertain {
  if (!told) return belief;
  const weight = belief.u ** 2 / (belief.u ** 2 + told.u ** 2);
  return weightedSum([
    [weight, told],
    [1 - weight, belief],
  ]);
}

/**
 * Weight of the measured speed that makes the place at the event surest. Not that of the surest speed: the same mark
 * is in the place and in the speed, so its error counts in both.
 */
function trustOf(measuredU: number, priorU: number, seconds: number, delay: Uncertain): number {
  const mark = (measuredU * seconds) ** 2 / 2;
  const square = delay.value ** 2 + delay.u ** 2;
  const gained = square * priorU ** 2 - (delay.value * mark) / seconds;
  return Math.max(0, gained / (square * (priorU ** 2 + measuredU ** 2)));
}

/** The best frame for a speed with the blade marked while it is on the ice: before a blade-off, after a blade-on. */
function neighbourFrame(
  trial: TrialGeometry,
  stride: StrideEvents,
  contact: Contact,
  frame: number,
): number | null {
  const back = contact === "blade_off" ? -1 : 1;
  const reach = Math.max(1, Math.round(SPEED_REACH / trial.frameSeconds));
  let best: number | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (let k = 1; k <= reach; k++) {
    const unfitness = Math.abs(k * trial.frameSeconds - SPEED_SPAN);
    if (unfitness >= least || !trial.isBladeMarked(frame + back * k, stride.side)) continue;
    [best, least] = [frame + back * k, unfitness];
  }
  return best;
}
