import type { Scale } from "../../../../src/ice/types.ts";
import type { MarkedPicture, TrialMarks, WholeStudy } from "../../../../src/study/types.ts";
import { iceMarkSd } from "../../../../src/trials/trialInput.ts";
import { type Derived, scaleOf } from "../../../store/readings.ts";

/** The scale of a trial's ice on a picture; null where nothing gives one, or there is no picture. */
export function iceScale(
  whole: WholeStudy,
  { iceReference }: Pick<TrialMarks, "iceReference">,
  picture: Pick<MarkedPicture, "width" | "height"> | null | undefined,
): Derived<Scale> | null {
  return iceReference && picture ? scaleOf(iceReference, picture, iceMarkSd(whole)) : null;
}
