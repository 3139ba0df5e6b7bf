import type { MotionSummary } from "../ice/types.ts";
import type { Warning } from "../reading.ts";
import type { ClipMotion } from "../study/types.ts";

/** What a trial's measuring says of its clip's own motion. */
export function steadyWarnings(
  { still, bumps }: ClipMotion,
  { jitterPx, leftPx, told, frames }: MotionSummary,
  { steady }: { readonly steady: boolean },
): Warning[] {
  if (still === true) return [];
  if (still === null)
    return [
      {
        code: "background-unknown",
        text: "Too little of this clip's background can be told, so whether the camera stood still is not known, and no ± allows for its motion. Put the same ice points on an early and a late frame and compare them.",
      },
    ];
  const warnings: Warning[] = bumps.map(({ frame, dxPx, dyPx }) => ({
    code: "camera-bumped",
    text: `The camera was knocked at frame ${frame}: what stands still jumps by ${Math.hypot(dxPx, dyPx).toFixed(1)} px. Ice points put before it serve no frame after it, and the other way round.`,
  }));
  const unknown = frames - told;
  if (unknown > 0)
    warnings.push({
      code: "background-lost",
      text: `On ${unknown} of ${frames} frames the background does not tell how the picture lies; what is marked on them has all that the picture moves in its ±.`,
    });
  if (jitterPx.value !== null && leftPx !== null && jitterPx.value > leftPx)
    warnings.push({
      code: steady ? "camera-moves" : "camera-shakes",
      text: `The picture ${steady ? "moves" : "shakes"} by ${jitterPx.value.toFixed(1)} px (SD). It is taken out frame by frame by what stands still; what is left, ${leftPx.toFixed(2)} px, is in every ±.${steady ? "" : " Switch picture stabilisation off and use a tripod."}`,
    });
  return warnings;
}
