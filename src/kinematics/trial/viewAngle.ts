import type { TravelLine } from "./travelLine.ts";
import type { TrialGeometry } from "./trialGeometry.ts";

/** Angle between the view of a place and the line of travel, degrees 0 (along) to 90 (across); null without a camera. */
export function viewAngleDeg(
  trial: TrialGeometry,
  frame: number,
  place: { readonly x: { readonly value: number }; readonly y: { readonly value: number } },
  line: TravelLine,
): number | null {
  const camera = trial.ground.cameraIn(frame)?.camera;
  if (!camera) return null;
  const view = Math.atan2(place.y.value - camera.y, place.x.value - camera.x);
  const travel = Math.atan2(line.to.y.value - line.from.y.value, line.to.x.value - line.from.x.value);
  return (180 / Math.PI) * Math.asin(Math.min(1, Math.abs(Math.sin(view - travel))));
}
