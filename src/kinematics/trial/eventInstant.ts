import { EVENT_U95_FRAMES } from "../../time/eventTime.ts";
import type { Quantity } from "../quantities/quantity.ts";
import type { Contact } from "./contact.ts";
import type { TrialGeometry } from "./trialGeometry.ts";

/** When a blade leaves or meets the ice, real seconds of the clip (clip time / speed factor). */
export function eventInstant(trial: TrialGeometry, n: number, contact: Contact): Quantity {
  return {
    value: trial.eventTime(trial.strides[n - 1]!, contact),
    u95: EVENT_U95_FRAMES * trial.frameSeconds,
  };
}
