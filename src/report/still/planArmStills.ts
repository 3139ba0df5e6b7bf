import type { Stride, TrialReadings } from "../../kinematics/types.ts";
import type { EventFrame, Side, WholeStudy } from "../../study/types.ts";
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

/** The swings to show side by side, one of each trial: of the same arm, each nearest its trial's mean direction of that arm. */
export function usualSwings(
  whole: WholeStudy,
  a: { readonly id: string; readonly readings: TrialReadings },
  b: { readonly id: string; readonly readings: TrialReadings },
): readonly [UsualSwing, UsualSwing] | null {
  const pairs = (["left", "right"] as const).flatMap((side) => {
    const [first, second] = [a, b].map(({ id, readings }) => nearest(whole, id, readings, side));
    return first && second ? [{ off: first.off + second.off, pair: [first, second] as const }] : [];
  });
  return pairs.sort((x, y) => x.off - y.off)[0]?.pair ?? null;
}

function nearest(
  whole: WholeStudy,
  id: string,
  readings: TrialReadings,
  side: Side,
): (UsualSwing & { readonly off: number }) | null {
  const { strides, arms } = readings;
  const mean = arms.directionDeg[side];
  const scale = planBase(whole, id)?.scale;
  if ("why" in mean || !scale) return null;
  const found = strides.flatMap((stride) => {
    const { value } = stride.armSwingDirectionDeg[side];
    const frames = value === null ? null : extremesOf(whole.marks[id]?.events ?? [], strides, stride, side);
    const line = frames && armLine(scale, readings, { side, frame: frames.front, other: frames.back });
    return value === null || !line
      ? []
      : [{ side, stride: stride.stride, ...frames, off: Math.abs(value - mean.mean) }];
  });
  return found.sort((x, y) => x.off - y.off)[0] ?? null;
}

/** The extremes whose middle falls in a stride: the ones its swing is measured from. */
function extremesOf(
  events: readonly EventFrame[],
  strides: readonly Stride[],
  stride: Stride,
  side: Side,
): { readonly front: number; readonly back: number } | null {
  const own = events
    .filter((e) => e.side === side && (e.event === "arm_front" || e.event === "arm_back"))
    .sort((x, y) => x.frame - y.frame);
  for (const [k, from] of own.entries()) {
    const to = own[k + 1];
    if (!to || from.event === to.event) continue;
    const middle = (from.frame + to.frame) / 2;
    const owner = strides.find((s) => middle <= s.blade_off_frame) ?? strides.at(-1);
    if (owner !== stride) continue;
    return from.event === "arm_front"
      ? { front: from.frame, back: to.frame }
      : { front: to.frame, back: from.frame };
  }
  return null;
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
  const { scale, marksOn, bodyIn, ...rest } = base;
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
