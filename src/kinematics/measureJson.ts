import { type Side, STRIDE_QUANTITIES } from "../study/types.ts";
import type { Reading, ScaleSummary, Stride, TrialMean, TrialReadings, Warning } from "./types.ts";

/** The `blademark.measure` document of a trial: plain data in a fixed order, so that the same input gives the same bytes. */
export function measureJson(readings: TrialReadings): object {
  const [, , ...means] = STRIDE_QUANTITIES;
  return {
    format: "blademark.measure",
    version: 1,
    scale: readings.scale ? scaleJson(readings.scale) : { value: null, why: readings.scaleWhy },
    strides: readings.strides.map(strideJson),
    trial: Object.fromEntries(means.map((name) => [name, meanJson(readings.trial[name])])),
    warnings: readings.warnings.map(warningJson),
  };
}

function scaleJson(scale: ScaleSummary): object {
  const { camera } = scale;
  return {
    kind: scale.kind,
    points: scale.points,
    ...(scale.frames !== undefined && { frames: scale.frames }),
    rms_px: scale.rmsPx,
    camera: camera && {
      x_m: camera.x,
      y_m: camera.y,
      height_m: camera.height,
      focal_px: camera.focalPx,
      u95_focal_px: camera.u95FocalPx,
    },
    warnings: scale.warnings.map(warningJson),
  };
}

function strideJson(stride: Stride): object {
  return {
    stride: stride.stride,
    side: stride.side,
    ...Object.fromEntries(STRIDE_QUANTITIES.map((name) => [name, readingJson(stride.readings[name])])),
    arm_swing_direction_deg: bothSides(stride.armSwingDirectionDeg),
    arm_swing_angle_deg: bothSides(stride.armSwingAngleDeg),
  };
}

function bothSides(readings: Readonly<Record<Side, Reading>>): object {
  return { left: readingJson(readings.left), right: readingJson(readings.right) };
}

function readingJson(reading: Reading): object {
  if (reading.value === null) return { value: null, why: reading.why };
  const { value, u95, atFrame } = reading;
  return atFrame === undefined ? { value, u95 } : { value, u95, at_frame: atFrame };
}

function meanJson(mean: TrialMean): object {
  if (!("mean" in mean)) return { value: null, why: mean.why };
  return { mean: mean.mean, sd: mean.sd, u95: mean.u95, n: mean.n };
}

function warningJson({ code, text }: Warning): object {
  return { code, text };
}
