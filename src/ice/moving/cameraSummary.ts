import { K95 } from "../../uncertainty/uncertain.ts";
import type { Camera } from "../camera/camera.ts";
import type { ScaleSummary } from "../types.ts";
import { layout, type MovingFit } from "./movingCamera.ts";

/**
 * A camera of a joint fit as a scale's summary says it.
 *
 * @param widen how much larger than stated the errors of the fit have shown to be
 * @param focalU relative standard uncertainty of its focal length
 */
export function cameraSummary(
  { x, y, z, focalPx }: Camera,
  { model, spread }: Pick<MovingFit, "model" | "spread">,
  widen: number,
  focalU: number,
): ScaleSummary["camera"] {
  const { place } = layout(model);
  const u95 = (k: number) => K95 * widen * Math.hypot(...spread.shared.getRow(place + k));
  return {
    ...{ x, y, height: z, u95Place: [u95(0), u95(1), u95(2)] },
    ...{ focalPx, u95FocalPx: K95 * focalPx * focalU },
  };
}
