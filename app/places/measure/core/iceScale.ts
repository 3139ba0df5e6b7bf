import type { Scale } from "../../../../src/ice/types.ts";
import type { MarkedPicture, WholeStudy } from "../../../../src/study/types.ts";
import { scaleReference } from "../../../../src/trials/scaleReference.ts";
import { iceMarkSd } from "../../../../src/trials/trialInput.ts";
import { type Derived, scaleOf } from "../../../store/readings.ts";

/** The scale of a trial's ice on a picture, its own or its camera set-up's; null where nothing gives one, or there is no picture. */
export function iceScale(
  whole: WholeStudy,
  trial: string,
  picture: Pick<MarkedPicture, "width" | "height"> | null | undefined,
): Derived<Scale> | null {
  const reference = scaleReference(whole, trial);
  return reference && picture ? scaleOf(reference, picture, iceMarkSd(whole)) : null;
}
