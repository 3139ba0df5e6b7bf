import type { Limit, Possible } from "../../quantities/limits.ts";
import type { Quantity } from "../quantities/quantity.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { speedAlong, travelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";

/** A tenth of an ordinary sprint's speed, m/s. */
export const speedLimit: Limit = () => 0.7;

/** Skaters' fastest is under 11 m/s (docs/references.md 6.2, docs/precision.md 7). */
export const POSSIBLE_SPEED: Possible = { min: 0, max: 15, unit: "m/s" };

/**
 * Along-track speed around stride n, m/s of real time: travel between two blade-off points of one blade, over
 * the time between them, so that the leg's own motion is the same at both ends.
 */
export function alongTrackSpeed(trial: TrialGeometry, n: number): Quantity {
  const { alongWhy } = trial.ground;
  if (alongWhy) throw new Unmeasurable(alongWhy);
  return { value: speedAlong(trial, travelLine(trial, n)) };
}
