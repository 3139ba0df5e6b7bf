import type { PicturePoint, Scale } from "../../ice/types.ts";
import { armExtremes, swingsBetween } from "../../kinematics/arms/swings.ts";
import type { TrialReadings } from "../../kinematics/types.ts";
import type { Reading } from "../../reading.ts";
import type { EventFrame, Side } from "../../study/types.ts";
import { formatReading } from "../../uncertainty/format.ts";
import { armLine, swingReading } from "../still/armLine.ts";
import type { DrawnLength } from "./iceMarks.ts";

/** The last whole swing of one arm by a frame. */
export interface ArmNow {
  readonly side: Side;
  /** null: no swing has ended by now, or the last one is long past. */
  readonly last: { readonly reading: Reading; readonly stride: number } | null;
  /** Its direction on the ice, where it ended; null where it is not drawn. */
  readonly length: DrawnLength | null;
  /** Shoulder, elbow and wrist, in the frame of an extreme only. */
  readonly limbs: readonly PicturePoint[];
}

/** After so many real seconds a swing is not the current one any more. */
const CURRENT = 0.9;

/** Both arms by a frame: nothing of what comes later. */
export function armsNow(
  events: readonly EventFrame[],
  readings: TrialReadings,
  scale: Scale | null,
  frame: number,
  seconds: (frame: number) => number,
): ArmNow[] {
  return (["left", "right"] as const).map((side): ArmNow => {
    const extremes = armExtremes(events, side);
    const k = extremes.findLastIndex((e) => e.frame <= frame);
    const [from, to, next] = [extremes[k - 1], extremes[k], extremes[k + 1]];
    const none = { side, last: null, length: null, limbs: [] };
    if (!to) return none;
    const limbsOf = (other: EventFrame | undefined) =>
      scale && other && to.frame === frame
        ? armLine(scale, readings, { side, frame, other: other.frame })?.joints
        : null;
    const limbs = limbsOf(next) ?? limbsOf(from) ?? [];
    const [swing] = from ? swingsBetween([from, to]) : [];
    if (!from || !swing || seconds(frame) - seconds(to.frame) > CURRENT) return { ...none, limbs };
    const last = swingReading(readings.strides, side, swing.middle);
    const line =
      scale && armLine(scale, readings, { side, frame: to.frame, other: from.frame, seenIn: frame });
    const [toward, blade] = line?.swing ?? [];
    const text = last && formatReading(last.reading, "°");
    const length = blade && toward && text ? { what: `${side} arm` as const, blade, toward, text } : null;
    return { side, last, length, limbs };
  });
}
