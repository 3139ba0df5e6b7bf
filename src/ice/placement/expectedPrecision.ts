import {
  AIRBORNE_BLADE_ALONG_U,
  AIRBORNE_BLADE_HEIGHT,
  HIP_FROM_STANDING_AT_OFF,
  HIP_HEIGHT,
  OFF_SPEED_SHARE,
} from "../../priors.ts";
import { K95 } from "../../uncertainty/uncertain.ts";

/**
 * What one stride can be measured to from a place not filmed from yet: standard uncertainties in closed form.
 *
 * @see docs/precision.md 9: within 0.9 to 1.3 of the scatter of simulated trials over 45 placements
 */
export interface Sight {
  /** Camera to skater over the ice, metres. */
  readonly distance: number;
  /** Height of the camera above the ice, metres. */
  readonly height: number;
  /** Angle between the line of view and the lane, radians, 0 … π/2. */
  readonly angle: number;
  readonly focalPx: number;
  readonly fps: number;
  /** Of one mark per coordinate, px. */
  readonly markSdPx: number;
}

/** Half-widths of 95 % intervals for a single stride; metres, radians. Infinite where the view tells nothing. */
export interface Expected {
  readonly strideWidth: number;
  readonly touchdown: number;
  readonly recovery: number;
  readonly strideLength: number;
  /** Angle of an arm swing along the lane, and of one across it. */
  readonly armForeAft: number;
  readonly armAcross: number;
}

/** One event frame in five is picked one off, either way. */
const SLIPS = 0.2;
/** Outward speed of a blade leaving the ice and of one meeting it, m/s. */
export const OFF_ACROSS = 1.0;
export const ON_ACROSS = 0.8;
/** A blade already off the ice in its frame, metres for a 60 Hz clip and a camera as high as far: stride width, touchdown. */
export const LIFT_WIDTH = 0.005;
export const LIFT_TOUCHDOWN = 0.007;
/** What the fit of the camera adds to the marks' own scatter. */
export const FITTED = 1.05;
/** What recovery to midline scatters beyond the form in views along the lane, metres: tuned on the study's table. */
export const RECOVERY_REST = 0.008;
/** Speed of a pushing blade along the lane, m/s: 0.85 of a sprinter's 7 m/s. [common practice, no source] */
export const ALONG = 6;
/** Doubt of a recovering blade along the lane, metres: its own, and how fast it leaves and comes down, a third before the end of 0.27 s. */
export const AIRBORNE_ALONG = Math.hypot(
  AIRBORNE_BLADE_ALONG_U,
  (OFF_SPEED_SHARE.u / OFF_SPEED_SHARE.mean) * ALONG * 0.27 * Math.hypot(2 / 27, 4 / 27),
);
/** Shoulder to wrist of a bent arm, metres, and the swing to each side of the upright, radians. [common practice, no source] */
const ARM = 0.4;
const SWING = (35 * Math.PI) / 180;
/** What marks alone are short of for arms (shoulder's depth, frame of the extreme): tuned on the study's arm table. */
const ARM_SHARE = 1.6;

/** SD of an event time, s: half a frame, rectangular, and slips. */
export function eventSd(fps: number): number {
  return Math.sqrt(1 / 12 + SLIPS) / fps;
}

export function expectedPrecision(sight: Sight): Expected {
  const { distance, height, angle, focalPx, fps, markSdPx } = sight;
  const slant = Math.hypot(distance, height);
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const perRay = (markSdPx / focalPx) * slant;
  // A mark's scatter across the lane: square to the view, and along it where a low camera stretches it.
  const across = perRay * Math.hypot(cos, (slant * sin) / height);
  const along = perRay * Math.hypot(sin, (slant * cos) / height);
  const event = eventSd(fps);
  const lift = ((60 / fps) * distance * sin) / height;
  const marks = FITTED * across;
  const atEvent = (speed: number, raised: number) =>
    Math.hypot(Math.sqrt(0.75) * marks, Math.sqrt(1.5) * speed * event, raised * lift);
  return {
    strideWidth: K95 * atEvent(OFF_ACROSS, LIFT_WIDTH),
    touchdown: K95 * atEvent(ON_ACROSS, LIFT_TOUCHDOWN),
    recovery:
      K95 * Math.hypot(Math.sqrt(0.62) * marks, RECOVERY_REST, ...offTheIce(distance, height, cos, sin)),
    strideLength: K95 * Math.hypot(FITTED * along, Math.SQRT2 * ALONG * event),
    armForeAft: K95 * armSwing(perRay, sin),
    armAcross: K95 * armSwing(perRay, cos),
  };
}

/** What is not known of where mid-hip and an airborne blade are on their rays, metres across the lane. */
function offTheIce(distance: number, height: number, cos: number, sin: number): readonly [number, number] {
  const [alongView, acrossView] = [distance * cos, distance * sin];
  if (acrossView === 0) return [0, 0];
  return [
    acrossView /
      Math.hypot(alongView / HIP_FROM_STANDING_AT_OFF.u, (height - HIP_HEIGHT.mean) / HIP_HEIGHT.u),
    acrossView / Math.hypot(alongView / AIRBORNE_ALONG, height / AIRBORNE_BLADE_HEIGHT.u),
  ];
}

/** SD of a swing angle, radians, seen at once from several places; each `perRay` metres to a mark's SD. */
export function armSwingOf(seen: readonly { readonly perRay: number; readonly inPicture: number }[]): number {
  return 1 / Math.sqrt(seen.reduce((sum, s) => sum + armSwing(s.perRay, s.inPicture) ** -2, 0));
}

/**
 * SD of a swing angle, radians: two extremes, two marks each. `inPicture` is how much of the swing's plane
 * shows: the rest is read from foreshortening, which tells little about an arm that hangs.
 */
function armSwing(perRay: number, inPicture: number): number {
  const told = Math.hypot(inPicture * Math.cos(SWING), Math.sin(SWING));
  return (ARM_SHARE * 2 * perRay) / (ARM * told);
}
