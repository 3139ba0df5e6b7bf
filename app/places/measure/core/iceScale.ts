import type { Scale } from "../../../../src/ice/types.ts";
import { seenMoved } from "../../../../src/motion/seenMoved.ts";
import type { MarkedPicture, WholeStudy } from "../../../../src/study/types.ts";
import { trialScale } from "../../../../src/trials/scaleReference.ts";
import { iceMarkSd } from "../../../../src/trials/trialInput.ts";
import { type Derived, scaleOf } from "../../../store/readings.ts";

/** The scale of a trial's ice on a picture, its own or its camera set-up's; null where nothing gives one, or there is no picture. */
export function iceScale(
  whole: WholeStudy,
  trial: string,
  picture: Pick<MarkedPicture, "width" | "height"> | null | undefined,
): Derived<Scale> | null {
  const { reference, steady } = trialScale(whole, trial);
  if (!reference || !picture) return null;
  const scale = scaleOf(reference, picture, iceMarkSd(whole));
  return scale.ok ? { ok: true, value: seenMoved(scale.value, steady) } : scale;
}
