import type { Stride, TrialReadings } from "../../kinematics/types.ts";
import type { Lane, TrialMarks } from "../../study/types.ts";
import { offMean } from "../still/usualStrides.ts";
import { type Moment, sharedMoments } from "./moment.ts";
import { strideOf } from "./momentStride.ts";

/** One trial that is shown. */
export interface ShownTrial {
  readonly marks: TrialMarks;
  /** null: it is not measured. */
  readonly readings: TrialReadings | null;
  /** By how the arms swing its technique is told, not by width and touchdown. */
  readonly ofArms: boolean;
}

/** What a stride without a width or a touchdown, or without an arm's direction, counts as, beside others' distance from the mean. */
const LACKING = 20;
/** Degrees off an arm's mean that count as one. */
const OFF_MEAN_DEG = 10;

/**
 * The blade-off, the same one in every trial, whose strides lie nearest their own trials' means: of that blade's width and
 * touchdown, or of both arms. Null where not every trial is measured, or none has a stride.
 */
export function momentNearestMean(shown: readonly ShownTrial[], lane: Lane): Moment | null {
  const all = shown.map(({ marks }) => marks);
  const scored = sharedMoments(all, lane).flatMap((moment) => {
    if (moment.kind !== "event" || moment.event !== "blade_off") return [];
    const off = shown.map(({ marks, readings, ofArms }) => {
      const stride = readings?.strides[(strideOf(marks, moment) ?? 0) - 1];
      if (!readings || !stride) return Number.POSITIVE_INFINITY;
      return ofArms ? offArmsMean(stride, readings) : lacking(stride) + offMean(stride, readings);
    });
    return [{ moment, off: off.reduce((sum, v) => sum + v, 0) }];
  });
  const best = scored.sort((x, y) => x.off - y.off)[0];
  return best && Number.isFinite(best.off) ? best.moment : null;
}

function offArmsMean({ armSwingDirectionDeg }: Stride, { arms }: TrialReadings): number {
  return (["left", "right"] as const).reduce((sum, side) => {
    const { value } = armSwingDirectionDeg[side];
    const mean = arms.directionDeg[side];
    return sum + (value === null || "why" in mean ? LACKING : Math.abs(value - mean.mean) / OFF_MEAN_DEG);
  }, 0);
}

function lacking({ readings }: Stride): number {
  const had = [readings.stride_width_m, readings.touchdown_to_track_midline_m].filter(
    (r) => r.value !== null,
  );
  return LACKING * (2 - had.length);
}
