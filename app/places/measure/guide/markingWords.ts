import type { TrialReadings } from "../../../../src/kinematics/types.ts";

/** How well the marks are put, and how that is known. */
export function markingWords({ sdPx, repeats }: TrialReadings["marking"]): string {
  if (!repeats)
    return `Marks are taken to be good to ${sdPx} px each way (the study's setting); mark again to find yours.`;
  const range = `${repeats.low.toFixed(2)} to ${repeats.high.toFixed(2)}`;
  return `Marks are good to ${repeats.sdPx.toFixed(2)} px each way (95 %: ${range}), from ${repeats.points} points marked again in this study.`;
}
