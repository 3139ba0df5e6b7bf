import { armExtremes, strideAt, swingsBetween } from "../../kinematics/arms/swings.ts";
import type { TrialReadings } from "../../kinematics/types.ts";
import type { Side, WholeStudy } from "../../study/types.ts";
import { armLine } from "./armLine.ts";
import { around, planBase, type StillPlan, type StridePlans } from "./planStill.ts";

/** A swing of one arm, by the frames of its extremes. */
export interface UsualSwing {
  readonly side: Side;
  /** The stride in which its middle falls. */
  readonly stride: number;
  readonly front: number;
  readonly back: number;
}

interface MeasuredTrial {
  readonly id: string;
  readonly readings: TrialReadings;
}

/** The swings to show side by side, one of each trial: of the same arm, each nearest its trial's mean direction of that arm. */
export function usualSwings(
  whole: WholeStudy,
  a: MeasuredTrial,
  b: MeasuredTrial,
): readonly [UsualSwing, UsualSwing] | null {
  const pairs = (["left", "right"] as const).flatMap((side) => {
    const [first, second] = [a, b].map((trial) => usualSwing(whole, trial, side));
    return first && second ? [{ off: first.off + second.off, pair: [first, second] as const }] : [];
  });
  return pairs.sort((x, y) => x.off - y.off)[0]?.pair ?? null;
}

/** The swing of one arm that is nearest its trial's mean direction of that arm; null where none is drawn. */
export function usualSwing(
  whole: WholeStudy,
  { id, readings }: MeasuredTrial,
  side: Side,
): (UsualSwing & { readonly off: number }) | null {
  const { strides, arms } = readings;
  const mean = arms.directionDeg[side];
  const scale = planBase(whole, id)?.scale;
  if ("why" in mean || !scale) return null;
  const known = new Set<number>();
  const found = swingsBetween(armExtremes(whole.marks[id]?.events ?? [], side)).flatMap(
    ({ front, back, middle }) => {
      const stride = strideAt(strides, (s) => s.blade_off_frame, middle);
      // A stride's reading is of its first swing.
      if (!stride || known.has(stride.stride)) return [];
      known.add(stride.stride);
      const { value } = stride.armSwingDirectionDeg[side];
      const line = armLine(scale, readings, { side, frame: front.frame, other: back.frame });
      if (value === null || !line) return [];
      const frames = { front: front.frame, back: back.frame };
      return [{ side, stride: stride.stride, ...frames, off: Math.abs(value - mean.mean) }];
    },
  );
  return found.sort((x, y) => x.off - y.off)[0] ?? null;
}

/** The stills of a swing, its front extreme and its back one. Null where the trial has no scale or nothing can be drawn. */
export function planArmStills(
  whole: WholeStudy,
  trialId: string,
  readings: TrialReadings,
  { side, front, back }: UsualSwing,
): StridePlans | null {
  const base = planBase(whole, trialId);
  if (!base?.scale) return null;
  const { scale, marksOn, bodyIn, events: _, ...rest } = base;
  const plan = (frame: number, other: number, end: string): StillPlan | null => {
    const arm = armLine(scale, readings, { side, frame, other });
    if (!arm) return null;
    const marks = marksOn(frame);
    const box = around([...marks, ...arm.joints, ...arm.other, ...arm.swing, ...arm.travel], base.picture);
    return {
      ...rest,
      ...{ scale, frame, marks, box, unitPx: box.width / 100, body: bodyIn(readings.strides)(frame) },
      ...{ width: null, touchdown: null, recovery: null, arms: [arm] },
      shows: `${side} arm at its ${end} extreme`,
    };
  };
  const first = plan(front, back, "front");
  return first && { off: first, nearest: plan(back, front, "back") };
}
