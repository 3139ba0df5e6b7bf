import type { UncertainMark } from "../../ice/camera/ground.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import type { TrialGeometry } from "./trialGeometry.ts";

/** A mark so far out that the lens's coefficients fold the picture there. @throws {Unmeasurable} */
export function refuseBeyondLens(
  trial: TrialGeometry,
  mark: UncertainMark,
  frame: number,
  words: string,
): void {
  const why = trial.ground.beyondLensWhy(mark.u.value, mark.v.value, frame);
  if (why) throw new Unmeasurable(`The ${words} in frame ${frame} ${why}`);
}
