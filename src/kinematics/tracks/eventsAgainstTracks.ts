import type { MarkTable } from "../../marks/markTable.ts";
import type { Warning } from "../../reading.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import type { Contact } from "../trial/contact.ts";
import type { StrideEvents } from "../trial/strideOrder.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { MeasureInput } from "../types.ts";
import { bladeTracks } from "./bladeTracks.ts";
import { trackWarnings } from "./trackWarnings.ts";

/** Marked frames a stride from which on it is dense marking. */
const FRAMES_OF_A_TRACK = 6;

/** Picked events against densely marked blades; nothing where there are none. */
export function eventsAgainstTracks(input: MeasureInput, trial: TrialGeometry, table: MarkTable): Warning[] {
  // Sparse marking has no tracks: about three frames a stride.
  if (new Set(input.marks.map((m) => m.frame)).size < FRAMES_OF_A_TRACK * trial.strides.length) return [];
  try {
    const tracks = bladeTracks(input.marks, table, trial.ground, input.speedFactor);
    const secondsOf = (stride: StrideEvents, contact: Contact) =>
      contact === "blade_off" || stride.on ? trial.eventTime(stride, contact).value : null;
    return trackWarnings(tracks, trial.strides, secondsOf, trial.frameSeconds);
  } catch (error) {
    if (error instanceof Unmeasurable) return [];
    throw error;
  }
}
