/*
 * What is known of any skater before measuring. Nobody has published how far skaters lift a recovering blade, or how fast a
 * blade moves across the track when it leaves and meets the ice (starts were filmed in three dimensions by Lafontaine 2007,
 * Renaud et al. 2017 and Shell et al. 2017, Sports Biomechanics 6:391, Sports Engineering, Sports Biomechanics: joint angles
 * and speeds ahead, none of these). What has no source is so wide that it holds every skater we can think of, and marks of
 * the trial itself narrow it where they tell: toe-out (`toeOut.ts`), the ray and the two contacts (`airborne.ts`).
 */

/** Mean and standard uncertainty, SI. */
export interface Prior {
  readonly mean: number;
  readonly u: number;
}

/**
 * Outward speed of the pushing blade as it leaves the ice, m/s. [judgement: an edge does not slip sideways, so blades that toe out
 * by 5 to 18° at 4 to 9 m/s move outward at 0.3 to 2.9 m/s; two simulators of different people had 1.0 and 0.53]
 */
export const OFF_SPEED: Prior = { mean: 1.1, u: 0.8 };
/** Outward speed of the recovering blade as it meets the ice, m/s. [judgement: inward a little to as fast as it will leave] */
export const ON_SPEED: Prior = { mean: 0.5, u: 0.6 };
/** Outward speed of the blade that stands while the other leaves, m/s: it has come down only just before. [judgement] */
export const STANDING_SPEED: Prior = { mean: 0.6, u: 0.6 };
/**
 * Speed of mid-hip across the track, m/s, toward the blade that takes over: away from a blade that leaves, toward one that
 * comes down. [judgement: hips that sway by 1 to 7 cm with the strides; an independent model had 0.41]
 */
export const HIP_SPEED: Prior = { mean: 0.25, u: 0.35 };
/** Speed of a blade along the track while it carries, as a share of the skater's. [judgement: the leg is left behind] */
export const OFF_SPEED_SHARE: Prior = { mean: 0.85, u: 0.15 };

/** Length of a runner, metres: boots of adults and youths have 24 to 31 cm. [memory] */
export const RUNNER: Prior = { mean: 0.275, u: 0.025 };
/** How far a carrying blade's path may differ from where the blade points, rad. [judgement: an edge cuts a groove] */
export const SIDE_SLIP_U = 0.03;
/** Of heel and toe in the frame of an event one may be higher by this, metres. [judgement, as `RISE_SPEED`] */
export const HEEL_LIFT_U = 0.006;
/**
 * Below this speed, m/s, a start's blades are set down and pushed off like running shoes and do not glide: de Koning et al.
 * on the Olympic sprints of 1988 [abstract read; International Journal of Sport Biomechanics 5, 1989, from memory].
 */
export const GLIDES_FROM = 4;

/**
 * How fast a blade rises from the ice once it has left, and how fast it came down before it met it, m/s. A frame picked one too
 * late (or early) shows it that much off the ice, which a low camera beside the lane turns into centimetres. [judgement: a parabola
 * of 0.27 s up to the height of `AIRBORNE_BLADE_HEIGHT`, 8 ± 6 cm, begins at 4 h / T, 1.2 ± 0.9; one that comes down with the
 * weight behind it is faster. Nobody has measured it]
 */
export const RISE_SPEED: Prior = { mean: 1.2, u: 0.9 };
export const LANDING_SPEED: Prior = { mean: 1.6, u: 1.2 };
/**
 * How fast a blade that has left the ice is turned back inward, m/s². [judgement: where it is nearest it has no speed across, so to come in by
 * d = 0.4 m within t = 0.15 s takes 4 d / t² = 71 at the least, 6 d / t² = 107 at first if smoothly, and none at first where the leg follows through]
 */
export const OFF_ACCELERATION: Prior = { mean: 70, u: 40 };

/**
 * SD of the angle (rad) between the lines of travel of two successive strides: a weave of 10 cm over 36 m
 * (docs/precision.md 0) turns by 0.0055 a stride of 2.6 m, and blade-off points that vary by 3 cm across turn
 * each line of 5.2 m: 2 x 0.03 / 5.2 = 0.0115.
 */
export const WEAVE = 0.013;
/**
 * From rest strides grow longer and wider, so one blade's blade-offs drift outward of the travel and the other's the other
 * way. What of half the angle between both lines that does not cancel, as a share of that angle: all of it where one side
 * had stopped drifting, a sixth where it fell by half in a stride.
 */
export const DRIFT_REST = 0.25;
/** The same drift, rad, where one line is all there is: for a step that grew by its whole length. [a start: 0.064 at 0.33] */
export const DRIFT_OF_GROWTH = 0.2;

/** Extra SD of a place, metres for each metre it lies outside the ice reference's hull. [judgement from the lens study] */
export const OUTSIDE_HULL = 0.005;

/**
 * Height of the crouched mid-hip, metres, where the skater's own is not given: 0.37 of stature (thighs level) to 0.53
 * (standing, Drillis and Contini 1966), of people 1.5 to 1.9 m tall, on blades 5 cm above the ice. [judgement]
 */
export const HIP_HEIGHT: Prior = { mean: 0.78, u: 0.1 };
/** SD of the hip's height about the skater's own crouched height. */
export const OWN_HIP_HEIGHT_U = 0.03;
/** Mid-hip along the travel from the blade that stands, when the other blade leaves the ice. [judgement, from our study] */
export const HIP_FROM_STANDING_AT_OFF: Prior = { mean: -0.05, u: 0.14 };
/** Mid-hip along the travel from the blade that stands, when the other blade comes down. [judgement, from our study] */
export const HIP_FROM_STANDING_AT_ON: Prior = { mean: 0.22, u: 0.18 };
/** The same from the blade that leaves, and from the blade that comes down, where the standing blade is not marked. [judgement] */
export const HIP_FROM_LEAVING: Prior = { mean: 0.35, u: 0.3 };
export const HIP_FROM_LANDING: Prior = { mean: 0, u: 0.25 };
/** Share of the skater's speed that a prediction from one place alone may be wrong by. [judgement] */
export const SPEED_DOUBT = 0.15;
/** Height of the blade's middle in recovery, metres. [judgement: one who scrapes the ice to one who lifts it 20 cm; both are coached] */
export const AIRBORNE_BLADE_HEIGHT: Prior = { mean: 0.08, u: 0.06 };
/**
 * Doubt of where a recovering blade is along the travel, metres, beside the path that leaves the one contact and meets the
 * other as fast as blades glide. [judgement: kicked back or thrown ahead by up to 10 cm]
 */
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

/**
 * How far a clip's sound may lie beside its pictures, seconds (standard uncertainty, each clip its own): phones keep them together to
 * about a frame, 20 to 40 ms. [common practice, no source; what broadcasts may be off, 40 ms early to 60 late (EBU R 37, from
 * memory), lies within about twice this] Headsets without a wire are off by more.
 */
export const SOUND_TO_PICTURE_U = 0.025;
/** Of sound in air of −10 °C, m/s, the slowest met beside ice: 331.3 + 0.606 T. [handbooks; Cramer 1993, JASA 93, 2510: both from memory] */
export const SLOWEST_SOUND = 325.2;
/** Farther apart two cameras of one trial are not taken to be, metres, where a place is not known: a rink of 60 x 30 m from corner to corner. [judgement] */
export const WIDEST_APART = 67;
