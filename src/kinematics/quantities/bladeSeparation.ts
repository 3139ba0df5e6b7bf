import { weightedSum } from "../../uncertainty/uncertain.ts";
import { outwardSlide, standingSlide } from "../tracks/slides.ts";
import { otherSide, sideSign } from "../trial/across.ts";
import { bladeAt, bladeOnIce } from "../trial/bladePlaces.ts";
import { leftward } from "../trial/onLine.ts";
import { travelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { Quantity } from "./quantity.ts";

/**
 * Blade separation: how far the pushing blade is outward of the other blade in the blade-off frame, across the
 * travel, metres. Not the stride width. Until the event both blades move outward, each on its own side.
 */
export function bladeSeparation(trial: TrialGeometry, n: number): Quantity {
  const at = trial.strides[n - 1]!;
  const pushing = bladeAt(trial, at, "blade_off");
  const standing = bladeOnIce(trial, at.off.frame, otherSide(at.side));
  const line = travelLine(trial, n);
  const atFrame = weightedSum([[sideSign(at.side), leftward(line, standing, pushing)]]);
  return {
    atFrame,
    value: weightedSum([
      [1, atFrame],
      [1, outwardSlide(trial, at, "blade_off", line)],
      [1, standingSlide(trial, at, line)],
    ]),
  };
}
