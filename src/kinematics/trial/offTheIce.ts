import { LANDING_SPEED, OFF_ACCELERATION, RISE_SPEED } from "../../priors.ts";
import { AIRBORNE_BY_DELAY, AIRBORNE_SPAN, airborneFrames, airborneRest } from "../../time/airborne.ts";
import {
  type Calculation,
  calculation,
  exactly,
  linear,
  type Uncertain,
  weightedSum,
} from "../../uncertainty/uncertain.ts";
import { type Contact, contactNumber } from "./contact.ts";
import { slot } from "./notebook.ts";
import type { StrideEvents } from "./strideOrder.ts";
import type { TrialGeometry } from "./trialGeometry.ts";

/*
 * A frame picked one beside its contact, away from it, shows the blade off the ice: it has risen and no longer moves as it rolled.
 * For how long it has been in the air goes along with the event's own error, and nothing of it is corrected: as a rule it is on the ice.
 */

const SECONDS = slot<number, Uncertain>();

/** Which way an event errs where its frame shows the blade in the air: a blade-off was earlier than picked, a blade-on later. */
const AWAY = { blade_off: -1, blade_on: 1 } as const;
const REST = {
  blade_off: airborneRest(AWAY.blade_off, RISE_SPEED.u / RISE_SPEED.mean),
  blade_on: airborneRest(AWAY.blade_on, LANDING_SPEED.u / LANDING_SPEED.mean),
};

/** For how long the blade is off the ice in the picked frame, real seconds, in a straight line; not for drawing. */
function airborneSeconds(trial: TrialGeometry, stride: StrideEvents, contact: Contact): Uncertain {
  return trial.remember(SECONDS, contactNumber(stride, contact), () => {
    const delay = trial.eventDelay(stride, contact);
    const { sd, shapeOf } = REST[contact];
    const slope = AWAY[contact] * AIRBORNE_BY_DELAY;
    const shape = shapeOf(trial.eventSource(stride, contact));
    return weightedSum([
      [slope, delay],
      [-slope, exactly(delay.value)],
      [1, trial.sources.add(0, sd * trial.frameSeconds, shape)],
    ]);
  });
}

/** How high the blade is in the picked frame of a contact, metres: 0, with its doubt. */
export function heightAtContact(trial: TrialGeometry, stride: StrideEvents, contact: Contact): Uncertain {
  const isOff = contact === "blade_off";
  const prior = isOff ? RISE_SPEED : LANDING_SPEED;
  const speed = trial.sharedPrior(isOff ? "rise speed" : "landing speed", prior);
  const exact = drawn(trial, stride, contact, speed, (seconds, v) => seconds * v);
  return linear(0, [airborneSeconds(trial, stride, contact)], [prior.mean], exact);
}

/** How much farther outward a blade would be on the ice than one that has left it is in the picked frame, metres: 0, with its doubt. */
export function turnedBack(trial: TrialGeometry, stride: StrideEvents): Uncertain {
  const inward = trial.sharedPrior("off acceleration", OFF_ACCELERATION);
  const exact = drawn(trial, stride, "blade_off", inward, (seconds, a) => (a * seconds ** 2) / 2);
  const slope = (OFF_ACCELERATION.mean / 2) * AIRBORNE_SPAN * trial.frameSeconds;
  return linear(0, [airborneSeconds(trial, stride, "blade_off")], [slope], exact);
}

/** The same by the event's own error. @param habit how fast what goes on in the air is; never the other way round */
function drawn(
  trial: TrialGeometry,
  stride: StrideEvents,
  contact: Contact,
  habit: Uncertain,
  way: (seconds: number, habit: number) => number,
): Calculation {
  const { frameSeconds } = trial;
  const delay = trial.eventDelay(stride, contact);
  const middle = delay.value;
  return calculation(
    ([d, h]) => {
      const away = (AWAY[contact] * (d! - middle)) / frameSeconds;
      return way(airborneFrames(away) * frameSeconds, Math.max(0, h!));
    },
    [delay, habit],
  );
}
