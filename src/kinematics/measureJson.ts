import type {
  FollowedSummary,
  LensSummary,
  MotionSummary,
  ScaleSummary,
  SetupSummary,
  StillSummary,
} from "../ice/types.ts";
import type { ReckonedSd } from "../marks/markSds.ts";
import { STRIDE_QUANTITIES, TRIAL_QUANTITIES } from "../quantities/catalogue.ts";
import type { Reading, Warning } from "../reading.ts";
import type { Side } from "../study/types.ts";
import type { SideMean, SprintCurve, Stride, TrialMean, TrialReadings } from "./types.ts";

/**
 * The `blademark.measure` document of a trial: plain data in a fixed order, so that the same input gives the same bytes.
 *
 * @param seed of the random numbers, where the readings come from `measureTrialDrawn`
 */
export function measureJson(readings: TrialReadings, seed?: number): object {
  const { arms, monteCarlo } = readings;
  const { trial } = readings;
  const armMeans = (both: TrialMean, of: Readonly<Record<Side, TrialMean>>) => ({
    ...meanJson(both),
    left: meanJson(of.left),
    right: meanJson(of.right),
  });
  return {
    format: "blademark.measure",
    version: 1,
    scale: readings.scale ? scaleJson(readings.scale) : { value: null, why: readings.scaleWhy },
    strides: readings.strides.map(strideJson),
    trial: {
      ...Object.fromEntries(TRIAL_QUANTITIES.map((name) => [name, meanJson(trial[name])])),
      arm_swing_direction_deg: armMeans(trial.arm_swing_direction_deg, arms.directionDeg),
      arm_swing_angle_deg: armMeans(trial.arm_swing_angle_deg, arms.angleDeg),
      along_track_speed_m_s: meanJson(readings.alongTrackSpeed),
    },
    warnings: readings.warnings.map(warningJson),
    marking: markingJson(readings.marking),
    runner_m: readingJson(readings.runner),
    sprint_curve: sprintJson(readings.sprint),
    ...(readings.gateSpeeds.length > 0 && {
      gates: readings.gateSpeeds.map(({ x, speed }) => ({
        x_m: x,
        along_track_speed_m_s: readingJson(speed),
      })),
    }),
    ...(monteCarlo && {
      monte_carlo: {
        seed: seed ?? null,
        draws: monteCarlo.draws,
        compared: monteCarlo.compared,
        agrees: monteCarlo.differences.length === 0,
        differences: monteCarlo.differences,
      },
    }),
  };
}

function sprintJson(sprint: SprintCurve): object {
  if ("why" in sprint) return { value: null, why: sprint.why };
  return {
    vmax_m_s: readingJson(sprint.top),
    tau_s: readingJson(sprint.tau),
    start_s: readingJson(sprint.start),
    misfit: sprint.misfit,
    n: sprint.n,
    from_s: sprint.from,
    to_s: sprint.to,
  };
}

/** That of the blades, and each kind's own. */
export function markingJson({ blades, hips, arms, icePoints }: TrialReadings["marking"]): object {
  const kind = ({ sdPx, from, repeats }: ReckonedSd) => ({
    sd_px: sdPx,
    from,
    repeat_marks: repeats && {
      sd_px: repeats.sdPx,
      ci95: [repeats.low, repeats.high],
      points: repeats.points,
      df: repeats.df,
    },
  });
  const by_kind = { blades: kind(blades), hips: kind(hips), arms: kind(arms), ice_points: kind(icePoints) };
  return { ...kind(blades), by_kind };
}

/** As it stands in the document. */
export function scaleJson(scale: ScaleSummary): object {
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
    lens: scale.lens && lensJson(scale.lens),
    warnings: scale.warnings.map(warningJson),
    ...(scale.still && { still: stillJson(scale.still) }),
    ...(scale.setup && { setup: setupJson(scale.setup, scale.motion) }),
    ...(scale.motion && { motion: motionJson(scale.motion) }),
    ...(scale.followed && { followed: followedJson(scale.followed) }),
  };
}

/** What a moving camera's background adds to its ice points. */
function followedJson({ carried, frames, gapsPx, shutter }: FollowedSummary): object {
  return { carried_frames: carried, frames, gaps_px: gapsPx, shutter_share: shutter };
}

/** What the background says of the clip's own motion. */
function motionJson({ still, jitterPx, leftPx, told, frames, bumps }: MotionSummary): object {
  return {
    still,
    jitter_px: jitterPx,
    left_px: leftPx,
    told_frames: told,
    frames,
    bumps: bumps.map(({ frame, dxPx, dyPx }) => ({ frame, dx_px: dxPx, dy_px: dyPx })),
  };
}

function setupJson({ id, name, clips, left, sharedPoints }: SetupSummary, motion?: MotionSummary): object {
  return {
    id,
    name,
    shared_points: sharedPoints,
    clips: clips.map(({ trial, points, by, dxPx, dyPx, turnDeg }) => ({
      trial,
      points,
      by,
      dx_px: dxPx,
      dy_px: dyPx,
      turn_deg: turnDeg,
    })),
    not_placed: left,
    jitter_px: motion?.jitterPx ?? {
      value: null,
      why: "This clip's background has not been looked at yet, so nothing is known of how its picture moves.",
    },
  };
}

function stillJson({ points, frames, moved, leastPx }: StillSummary): object {
  return { points, frames, moved, least_px: leastPx };
}

function lensJson(lens: LensSummary): object {
  if (!("from" in lens)) return { value: null, why: lens.why };
  return {
    from: lens.from,
    k1: lens.k1,
    k2: lens.k2,
    u95_k1: lens.u95K1,
    ...(lens.learnedOn !== undefined && { learned_on: lens.learnedOn }),
  };
}

function strideJson(stride: Stride): object {
  return {
    stride: stride.stride,
    side: stride.side,
    ...Object.fromEntries(STRIDE_QUANTITIES.map((name) => [name, readingJson(stride.readings[name])])),
    arm_swing_direction_deg: bothSides(stride.armSwingDirectionDeg),
    arm_swing_angle_deg: bothSides(stride.armSwingAngleDeg),
    arm_picture_angle_deg: bothSides(stride.armPictureAngleDeg),
    along_track_speed_m_s: readingJson(stride.alongTrackSpeed),
  };
}

function bothSides(readings: Readonly<Record<Side, Reading>>): object {
  return { left: readingJson(readings.left), right: readingJson(readings.right) };
}

function readingJson(reading: Reading): object {
  if (reading.value === null) {
    const { why, either } = reading;
    return either ? { value: null, why, either: either.map(readingJson) } : { value: null, why };
  }
  const { value, u95, atFrame, drawn, views } = reading;
  return {
    value,
    u95,
    ...(atFrame !== undefined && { at_frame: atFrame }),
    ...(drawn && { monte_carlo: drawn }),
    ...(views && { views }),
  };
}

function meanJson(mean: TrialMean): object {
  if (!("mean" in mean)) return { value: null, why: mean.why };
  const { drawn, views } = mean;
  return {
    mean: mean.mean,
    sd: mean.sd,
    u95: mean.u95,
    n: mean.n,
    left: sideJson(mean.left),
    right: sideJson(mean.right),
    left_minus_right: readingJson(mean.leftMinusRight),
    ...(drawn && { monte_carlo: drawn }),
    ...(views && { views }),
  };
}

function sideJson(side: SideMean): object {
  if (!("mean" in side)) return { value: null, why: side.why };
  return { mean: side.mean, u95: side.u95, n: side.n };
}

function warningJson({ code, text }: Warning): object {
  return { code, text };
}
