import { type ArmQuantity, entryOf } from "../../quantities/catalogue.ts";
import type { Side } from "../../study/types.ts";
import { besideOneAxis } from "../arms/axisMean.ts";
import type { TrialMean } from "../types.ts";
import type { Outcome, Shown } from "./readingOf.ts";
import { trialMean } from "./trialMeans.ts";

/** One swing of an arm: of its direction the axis with its sense, in degrees. */
export interface ArmOutcome {
  readonly arm: Side;
  /** Side of the blade that pushes meanwhile. */
  readonly stride: Side;
  readonly outcome: Outcome;
}

/** Mean over one arm's swings. */
export function meanOfArm(quantity: ArmQuantity, swings: readonly ArmOutcome[], shown: Shown): TrialMean {
  const { limit } = entryOf(quantity);
  const sided = prepared(quantity, swings).map(({ stride, outcome }) => ({ side: stride, outcome }));
  return trialMean(sided, false, shown, { limit, unit: "°" });
}

/**
 * Mean over both arms' swings, (mean of left + mean of right) / 2. A direction says how far from straight along an arm
 * swings, to whichever side: so it is folded arm by arm, and arms that both swing 30° off, one to each side or both to the
 * same, have 30°.
 */
export function meanOfArms(quantity: ArmQuantity, swings: readonly ArmOutcome[], shown: Shown): TrialMean {
  const { balanced, limit } = entryOf(quantity);
  const sided = (["left", "right"] as const).flatMap((side) =>
    prepared(
      quantity,
      swings.filter(({ arm }) => arm === side),
    ).map(({ outcome }) => ({ side, outcome })),
  );
  return trialMean(sided, balanced, shown, { limit, unit: "°", of: "arm" });
}

/** The swings as their plain mean is made of them. */
function prepared(quantity: ArmQuantity, swings: readonly ArmOutcome[]): readonly ArmOutcome[] {
  if (quantity !== "arm_swing_direction_deg") return swings;
  const axes = swings.flatMap(({ outcome }) => ("why" in outcome ? [] : [outcome.value]));
  const beside = besideOneAxis(axes);
  let k = 0;
  return swings.map((swing) => {
    if ("why" in swing.outcome) return swing;
    const outcome = beside ? { value: beside[k++]! } : { why: scattered(swing.arm) };
    return { ...swing, outcome };
  });
}

function scattered(arm: Side): string {
  return `The ${arm} arm's swings lie so far apart that they have no direction in common. Check what was said about toward and away from the camera, and the marks of that arm.`;
}
