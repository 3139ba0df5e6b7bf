import type { TrialReadings } from "../../../../src/kinematics/types.ts";

/** How well the marks are put, and how that is known. */
export function markingWords({ blades, hips }: TrialReadings["marking"]): string {
  return `${bladeWords(blades)} ${hipWords(hips)}`;
}

function bladeWords({ sdPx, from, repeats }: TrialReadings["marking"]["blades"]): string {
  if (!repeats || from !== "repeat-marks")
    return `Marks are taken to be good to ${sdPx} px each way (the study's setting); mark again to find yours.`;
  const range = `${repeats.low.toFixed(2)} to ${repeats.high.toFixed(2)}`;
  return `Marks are good to ${repeats.sdPx.toFixed(2)} px each way (95 %: ${range}), from ${repeats.points} points marked again in this study.`;
}

function hipWords({ sdPx, from, repeats }: TrialReadings["marking"]["hips"]): string {
  if (repeats && from === "repeat-marks")
    return `Hips: ${repeats.sdPx.toFixed(2)} px, from ${repeats.points} marked again.`;
  if (from === "trial")
    return `Hips: good to ${Number(sdPx.toFixed(2))} px, from how evenly this trial's own lie; mark ten again to know better.`;
  return `Hips, which clothing hides: taken to be good to ${Number(sdPx.toFixed(2))} px until ten are marked again.`;
}
