/** What is known of any skater before measuring: (mean, standard uncertainty), SI. Sources: our simulation study and the design. */
export interface Prior {
  readonly mean: number;
  readonly u: number;
}

/** Outward speed of the pushing blade as it leaves the ice, m/s. */
export const OFF_SPEED: Prior = { mean: 1.0, u: 0.4 };
/** Outward speed of the recovering blade as it meets the ice, m/s. */
export const ON_SPEED: Prior = { mean: 0.8, u: 0.4 };

/** Outward speed of the blade that stands while the other leaves, m/s: it has come down only just before. [judgement] */
export const STANDING_SPEED: Prior = { mean: 0.8, u: 0.4 };
/** Speed of mid-hip across the track at an event, m/s. [judgement: a sway of 3 cm at 1.5 Hz] */
export const HIP_SPEED: Prior = { mean: 0, u: 0.3 };
/** Speed of a blade along the track as it leaves the ice, as a share of the skater's. [judgement: the leg is left behind] */
export const OFF_SPEED_SHARE: Prior = { mean: 0.85, u: 0.15 };

/**
 * A blade in the chosen frame may already be a few millimetres off the ice, which a low camera beside the lane
 * turns into centimetres. SD of the resulting shift away from the camera, metres, for a 60 Hz clip and a
 * camera as high as it is far away. Blade-off: 0.5 cm for a stride width, which weighs three points 1, ½, ½;
 * blade-on: so much that touchdown to track midline has 0.7 cm.
 */
export const LIFT_OFF = 0.005 / Math.sqrt(1.5);
export const LIFT_ON = Math.sqrt(0.007 ** 2 - LIFT_OFF ** 2 / 2);

/**
 * SD of the angle (rad) between the lines of travel of two successive strides: a weave of 10 cm over 36 m
 * (precision study, 0) turns by 0.0055 a stride of 2.6 m, and blade-off points that vary by 3 cm across turn
 * each line of 5.2 m: 2 x 0.03 / 5.2 = 0.0115.
 */
export const WEAVE = 0.013;

/** Extra SD of a place, metres for each metre it lies outside the ice reference's hull. [judgement from the lens study] */
export const OUTSIDE_HULL = 0.005;

/** Height of the crouched mid-hip, metres, where the skater's own is not given. */
export const HIP_HEIGHT: Prior = { mean: 0.8, u: 0.07 };
/** SD of the hip's height about the skater's own crouched height. */
export const OWN_HIP_HEIGHT_U = 0.03;
/** Mid-hip along the travel from the blade that stands, when the other blade leaves the ice. */
export const HIP_FROM_STANDING_AT_OFF: Prior = { mean: -0.05, u: 0.12 };
/** Mid-hip along the travel from the blade that stands, when the other blade comes down. */
export const HIP_FROM_STANDING_AT_ON: Prior = { mean: 0.22, u: 0.12 };
/** The same from the blade that leaves, and from the blade that comes down, where the standing blade is not marked. [judgement] */
export const HIP_FROM_LEAVING: Prior = { mean: 0.35, u: 0.3 };
export const HIP_FROM_LANDING: Prior = { mean: 0, u: 0.25 };
/** Share of the skater's speed that a prediction from one place alone may be wrong by. [judgement] */
export const SPEED_DOUBT = 0.15;
/** Height of the blade's middle in recovery, and its doubt along the travel between its two ice contacts. */
export const AIRBORNE_BLADE_HEIGHT: Prior = { mean: 0.035, u: 0.02 };
export const AIRBORNE_BLADE_ALONG_U = 0.05;

/** Outward acceleration of the recovering blade about its nearest, m/s²: half a metre in, or out, within half of 0.27 s. [judgement] */
export const NEAREST_ACCELERATION = 50;

/** Shoulder from mid-hip of a crouched sprinter: ahead along the travel, outward of the track midline, above the hip. [judgement: trunk 0.288 of stature, leaning about half way] */
export const SHOULDER_AHEAD: Prior = { mean: 0.3, u: 0.15 };
export const SHOULDER_OUTWARD: Prior = { mean: 0.18, u: 0.12 };
export const SHOULDER_ABOVE: Prior = { mean: 0.35, u: 0.1 };
/** Limbs as shares of stature (Drillis and Contini 1966), and how much people differ. */
export const UPPER_ARM_SHARE = 0.186;
export const FOREARM_SHARE = 0.146;
export const LIMB_SPREAD = 0.04;
/** Of a limb measured with a tape, metres. [judgement] */
export const TAPED_LIMB_U = 0.01;
