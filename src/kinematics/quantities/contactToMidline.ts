import { HIP_SPEED } from "../../priors.ts";
import { weightedSum } from "../../uncertainty/uncertain.ts";
import { outwardSlide, priorSlide } from "../tracks/slides.ts";
import { bladeAt } from "../trial/bladePlaces.ts";
import { type Contact, noBladeOn } from "../trial/contact.ts";
import { type HipAt, midHip, outwardOfHip } from "../trial/midHip.ts";
import { travelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { Quantity } from "./quantity.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/**
 * Outward distance of the stride's own blade from mid-hip, across the travel, metres: at its blade-off the
 * half width, at its blade-on the touchdown to midline.
 *
 * @param hipAt where mid-hip is in a frame
 */
export function contactToMidline(
  trial: TrialGeometry,
  n: number,
  contact: Contact,
  hipAt: HipAt = midHip,
): Quantity {
  const at = trial.strides[n - 1]!;
  const event = contact === "blade_off" ? at.off : at.on;
  if (!event) throw new Unmeasurable(noBladeOn(at));
  const line = travelLine(trial, n);
  const hip = hipAt(trial, event.frame, line);
  const atFrame = outwardOfHip(at.side, bladeAt(trial, at, contact), hip, line);
  // The hips go from the blade that leaves to the one that comes down, and the blade is measured from them.
  const hips = contact === "blade_off" ? 1 : -1;
  return {
    atFrame,
    value: weightedSum([
      [1, atFrame],
      [1, outwardSlide(trial, at, contact, line)],
      [hips, priorSlide(trial, at, contact, "hip speed", HIP_SPEED)],
    ]),
  };
}
