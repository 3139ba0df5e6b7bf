import type { Stride, TrialReadings } from "../../kinematics/types.ts";
import { mean } from "../../statistics/mean.ts";
import type { Side } from "../../study/types.ts";

/** What is drawn in a still at blade-off. */
const DRAWN = ["stride_width_m", "touchdown_to_track_midline_m"] as const;
/** Metres off the mean that count as one. */
const OFF_MEAN = 0.05;

/**
 * The two strides to show side by side, one of each trial: of the same blade, with width, recovery and touchdown measured, and
 * each as near as there is to its own trial's means of that blade. Null where either trial has none.
 *
 * @param of strides of this blade only
 */
export function usualStrides(
  a: TrialReadings,
  b: TrialReadings,
  of?: Side,
): readonly [Stride, Stride] | null {
  const usable = (r: TrialReadings) =>
    r.strides.filter(
      (s) =>
        s.readings.stride_width_m.value !== null &&
        s.off !== null &&
        s.view === undefined &&
        (of === undefined || s.side === of),
    );
  const both = usable(a).flatMap((s) => usable(b).map((t) => [s, t] as const));
  const lacking = ({ readings, recovery }: Stride) =>
    (readings.touchdown_to_track_midline_m.value === null ? 100 : 0) +
    (recovery === null || readings.recovery_to_midline_m.value === null ? 100 : 0);
  const badness = ([s, t]: readonly [Stride, Stride]) =>
    lacking(s) + lacking(t) + (s.side === t.side ? 0 : 50) + offMean(s, a) + offMean(t, b);
  return both.reduce<readonly [Stride, Stride] | null>(
    (best, pair) => (best === null || badness(pair) < badness(best) ? pair : best),
    null,
  );
}

/** How far a stride lies from the means of its own blade in its trial. */
export function offMean(stride: Stride, { strides }: Pick<TrialReadings, "strides">): number {
  const own = strides.filter((s) => s.side === stride.side);
  return DRAWN.reduce((sum, quantity) => {
    const values = own.flatMap(({ readings }) => readings[quantity].value ?? []);
    const { value } = stride.readings[quantity];
    return value === null ? sum : sum + Math.abs(value - mean(values)) / OFF_MEAN;
  }, 0);
}
