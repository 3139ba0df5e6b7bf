import { deriveOne } from "../uncertainty/uncertain.ts";
import { alongLine } from "./across.ts";
import type { Quantity } from "./quantity.ts";
import { sameSideTwice, type TrialGeometry } from "./trialGeometry.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/** Stride length: along-track distance from the other blade's blade-off point before to this blade-off point, metres. */
export function strideLength(trial: TrialGeometry, n: number): Quantity {
  const at = trial.strides[n - 1]!;
  const before = trial.stride(n - 1);
  if (!before) throw new Unmeasurable("The first stride has no blade-off before it.");
  if (before.side === at.side) throw new Unmeasurable(sameSideTwice(before));
  const { alongWhy } = trial.ground;
  if (alongWhy) throw new Unmeasurable(alongWhy);
  const line = trial.travelLine(n);
  const [a, b] = [trial.bladeAt(before, "blade_off"), trial.bladeAt(at, "blade_off")];
  const atFrame = deriveOne(
    (fx, fy, tx, ty, ax, ay, bx, by) => alongLine(ax, ay, ax + tx - fx, ay + ty - fy, bx, by),
    [line.from.x, line.from.y, line.to.x, line.to.y, a.x, a.y, b.x, b.y],
  );
  return { atFrame, value: atFrame };
}
