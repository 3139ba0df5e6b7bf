import { deriveOne, weightedSum } from "../uncertainty/uncertain.ts";
import { leftOfLine, otherSide, sideSign } from "./across.ts";
import { STANDING_SPEED } from "./priors.ts";
import type { Quantity } from "./quantity.ts";
import { outwardSlide, priorSlide } from "./slides.ts";
import type { TrialGeometry } from "./trialGeometry.ts";

/**
 * Blade separation: how far the pushing blade is outward of the other blade in the blade-off frame, across the
 * travel, metres. Not the stride width. Until the event both blades move outward, each on its own side.
 */
export function bladeSeparation(trial: TrialGeometry, n: number): Quantity {
  const at = trial.strides[n - 1]!;
  const pushing = trial.bladeAt(at, "blade_off");
  const standing = trial.bladeOnIce(at.off.frame, otherSide(at.side));
  const line = trial.travelLine(n);
  const sign = sideSign(at.side);
  const atFrame = deriveOne(
    (ax, ay, bx, by, sx, sy, x, y) => sign * leftOfLine(sx, sy, sx + bx - ax, sy + by - ay, x, y),
    [line.from.x, line.from.y, line.to.x, line.to.y, standing.x, standing.y, pushing.x, pushing.y],
  );
  return {
    atFrame,
    value: weightedSum([
      [1, atFrame],
      [1, outwardSlide(trial, at, "blade_off", line)],
      [1, priorSlide(trial, at, "blade_off", "standing speed", STANDING_SPEED)],
    ]),
  };
}
