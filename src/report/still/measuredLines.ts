import type { PicturePoint, Scale } from "../../ice/types.ts";
import { strideWidthLine } from "../../kinematics/quantities/strideWidthLine.ts";
import { touchdownLine as placed } from "../../kinematics/trial/touchdownLine.ts";
import type { Stride } from "../../kinematics/types.ts";
import type { Reading } from "../../reading.ts";

/** A line on the ice as it is seen, with what it measures; `toward` is the end that is not the blade. */
export interface MeasuredLine {
  readonly blade: PicturePoint;
  readonly toward: PicturePoint;
  readonly value: number;
  readonly u95: number;
}

/** Stride width, and the line through the other blade's blade-offs before and after that it is measured from. */
export interface WidthLine extends MeasuredLine {
  readonly track: readonly [PicturePoint, PicturePoint];
}

/** Recovery to midline on the ice under the blade, with what stands above it. */
export interface RecoveryLine extends MeasuredLine {
  /** Middle of the recovering blade, in the air. */
  readonly air: PicturePoint;
  readonly hip: PicturePoint;
  /** The ice straight below mid-hip: the midline runs through it and `toward`. */
  readonly belowHip: PicturePoint;
}

interface Ice {
  readonly x: number;
  readonly y: number;
  readonly z?: number;
}

/** Stride width as it is drawn on the ice in a frame; null where it has no value or cannot be seen. */
export function widthLine(
  scale: Scale,
  frame: number,
  strides: readonly Stride[],
  stride: Stride,
): WidthLine | null {
  const line = strideWidthLine(strides, stride);
  const drawn = line && lined(scale, frame, line.from, line.foot, stride.readings.stride_width_m);
  const [before, after] = line ? [see(scale, frame, line.before), see(scale, frame, line.after)] : [];
  return drawn && before && after ? { ...drawn, track: [before, after] } : null;
}

/** Where the stride's blade comes down next, against the track midline. */
export function touchdownLine(
  scale: Scale,
  frame: number,
  strides: readonly Stride[],
  stride: Stride,
): MeasuredLine | null {
  const line = strideWidthLine(strides, stride);
  const drawn = line && placed(stride, line);
  return drawn && lined(scale, frame, drawn.from, drawn.to, stride.readings.touchdown_to_track_midline_m);
}

/** Recovery to midline of the recovery that follows the stride. */
export function recoveryLine(
  scale: Scale,
  frame: number,
  { recovery, readings }: Stride,
): RecoveryLine | null {
  if (!recovery) return null;
  const { blade, hip, midline } = recovery;
  const drawn = lined(scale, frame, { ...blade, z: 0 }, midline, readings.recovery_to_midline_m);
  const [air, above, below] = [blade, hip, { ...hip, z: 0 }].map((p) => see(scale, frame, p));
  return drawn && air && above && below ? { ...drawn, air, hip: above, belowHip: below } : null;
}

function lined(scale: Scale, frame: number, from: Ice, to: Ice, reading: Reading): MeasuredLine | null {
  const [blade, toward] = [see(scale, frame, from), see(scale, frame, to)];
  return blade && toward && reading.value !== null
    ? { blade, toward, value: reading.value, u95: reading.u95 }
    : null;
}

function see(scale: Scale, frame: number, p: Ice): PicturePoint | null {
  return scale.toPicture(p.x, p.y, p.z ?? 0, frame);
}
