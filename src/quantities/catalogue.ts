import {
  ACROSS,
  APART,
  angleLimit,
  BETWEEN_BLADES,
  type Limit,
  lengthLimit,
  type Possible,
  positionLimit,
  widthLimit,
} from "./limits.ts";

/**
 * Everything that is known of a quantity beside its formula. Panel, report, bands, comparison, tables and schema take it
 * from here; the formula is in `src/kinematics/quantities/formulas.ts` (of arms in `src/kinematics/arms`), the drawing in
 * `docs/definitions.md`.
 */
export interface CatalogueEntry {
  /** As in running text: "stride width". */
  readonly name: string;
  readonly unit: "s" | "m" | "/s" | "°";
  /**
   * arm: of each arm by itself, so that a stride has two; instant: a moment of the clip, with no mean over a trial; duration and rate: from instants; length: between two
   * places; position: across the travel, with a value at the marked frames beside the one at the event itself.
   */
  readonly kind: "arm" | "instant" | "duration" | "rate" | "length" | "position";
  /** The frames picked for events alone, or marks in the picture too: only these repeat when a trial is marked again. */
  readonly restsOn: "events" | "marks";
  /** Outward from a midline, so negative where the blade crosses it. */
  readonly signed: boolean;
  /** A trial's mean is (mean of left + mean of right) / 2, in which an error of the midline cancels; of arms, both count alike. */
  readonly balanced: boolean;
  /** What a higher and a lower value is called. */
  readonly more: string;
  readonly less: string;
  /** One line for somebody who does not know it. */
  readonly meaning: string;
  /** A change one can picture, in the quantity's unit: what it is worth in time. */
  readonly step: { readonly by: number; readonly words: string };
  /** Widest u95 that is still shown; absent for times and rates. */
  readonly limit?: Limit;
  /** What a skater can do at all; absent for instants. */
  readonly possible?: Possible;
}

const LARGER = { more: "larger", less: "smaller" };
const LONGER = { more: "longer", less: "shorter" };
const INSTANT = {
  unit: "s",
  kind: "instant",
  restsOn: "events",
  signed: false,
  balanced: false,
  more: "later",
  less: "earlier",
  step: { by: 0.01, words: "a hundredth of a second later" },
} as const;
const POSITION = {
  unit: "m",
  kind: "position",
  restsOn: "marks",
  balanced: true,
  limit: positionLimit,
  possible: ACROSS,
  ...LARGER,
} as const;

const ARM = {
  unit: "°",
  kind: "arm",
  restsOn: "marks",
  signed: false,
  balanced: true,
  limit: angleLimit,
} as const;

/** In the order in which they are shown; the keys are the names in tables and JSON. */
export const CATALOGUE = {
  blade_off_s: {
    ...INSTANT,
    name: "blade-off",
    meaning: "When the pushing blade leaves the ice, in the clip's own time.",
  },
  blade_on_s: {
    ...INSTANT,
    name: "blade-on",
    meaning: "When the same blade meets the ice again, in the clip's own time.",
  },
  stride_width_m: {
    ...POSITION,
    name: "stride width",
    signed: false,
    limit: widthLimit,
    possible: BETWEEN_BLADES,
    meaning:
      "How far this blade-off lies from the straight line through the other blade's blade-offs before and after it.",
    step: { by: 0.1, words: "10 cm more stride width" },
  },
  blade_separation_m: {
    ...POSITION,
    name: "blade separation",
    signed: false,
    possible: APART,
    meaning: "How far apart across the travel both blades are in the blade-off frame.",
    step: { by: 0.1, words: "10 cm more blade separation" },
  },
  half_width_m: {
    ...POSITION,
    name: "half width",
    signed: true,
    meaning: "How far out from mid-hip the pushing blade is at blade-off.",
    step: { by: 0.1, words: "10 cm more half width" },
  },
  recovery_to_midline_m: {
    ...POSITION,
    name: "recovery to midline",
    signed: true,
    meaning:
      "How far out from mid-hip the recovering blade is where it is nearest; negative when it crosses to the other side.",
    step: { by: 0.1, words: "10 cm more recovery to midline" },
  },
  touchdown_to_midline_m: {
    ...POSITION,
    name: "touchdown to midline",
    signed: true,
    meaning: "How far out from mid-hip the blade is when it meets the ice again.",
    step: { by: 0.1, words: "10 cm more touchdown to midline" },
  },
  touchdown_to_track_midline_m: {
    ...POSITION,
    name: "touchdown to track midline",
    signed: true,
    meaning:
      "How far out the blade meets the ice, from the middle of the blade-offs around it. Needs no hip marks, so it is the most robust.",
    step: { by: 0.1, words: "10 cm more touchdown to track midline" },
  },
  stride_rate_hz: {
    name: "stride rate",
    unit: "/s",
    kind: "rate",
    restsOn: "events",
    signed: false,
    balanced: false,
    more: "higher",
    less: "lower",
    meaning: "Pushes per second, left and right counted one by one; some papers count pairs, half as many.",
    step: { by: 0.1, words: "a stride rate higher by 0.1 /s" },
    possible: { min: 0, max: 8, unit: "pushes a second" },
  },
  stride_length_m: {
    name: "stride length",
    unit: "m",
    kind: "length",
    restsOn: "marks",
    signed: false,
    balanced: false,
    ...LONGER,
    meaning: "How far along the lane from one blade-off to the next, of the other blade.",
    step: { by: 0.1, words: "10 cm more stride length" },
    limit: lengthLimit,
    possible: { min: 0, max: 8, unit: "m" },
  },
  recovery_time_s: {
    name: "recovery time",
    unit: "s",
    kind: "duration",
    restsOn: "events",
    signed: false,
    balanced: false,
    ...LONGER,
    meaning: "From blade-off until the same blade meets the ice again.",
    step: { by: 0.05, words: "a recovery time longer by 0.05 s" },
  },
  arm_swing_direction_deg: {
    ...ARM,
    name: "arm-swing direction",
    more: "more across",
    less: "more along",
    meaning: "Seen from above: 0° is straight along the travel, 90° straight across it.",
    step: { by: 10, words: "arms swung 10° more across" },
  },
  arm_swing_angle_deg: {
    ...ARM,
    name: "arm-swing angle",
    ...LARGER,
    meaning: "The angle the arm sweeps between its two extremes.",
    step: { by: 10, words: "10° more arm-swing angle" },
  },
} as const satisfies Readonly<Record<string, CatalogueEntry>>;

export type Quantity = keyof typeof CATALOGUE;

type OfKind<K extends CatalogueEntry["kind"]> = {
  [Q in Quantity]: (typeof CATALOGUE)[Q]["kind"] extends K ? Q : never;
}[Quantity];

/** Of each arm by itself: a stride has two of them, its left and its right arm's. */
export type ArmQuantity = OfKind<"arm">;

/** Of one stride, which has one of them. */
export type StrideQuantity = Exclude<Quantity, ArmQuantity>;

/** A moment: a trial has no mean of it. */
export type InstantQuantity = OfKind<"instant">;

/** A quantity of which a trial has a mean: what bands, comparisons and reports are made of. */
export type TrialQuantity = Exclude<Quantity, InstantQuantity>;

/** Of one stride, with a mean over a trial: all but moments and arms. */
export type MeanOfStrides = Exclude<TrialQuantity, ArmQuantity>;

export const QUANTITIES = Object.keys(CATALOGUE) as readonly Quantity[];

export const STRIDE_QUANTITIES = QUANTITIES.filter((q): q is StrideQuantity => !isOfArm(q));

export const TRIAL_QUANTITIES = QUANTITIES.filter(hasMean);

export const MEANS_OF_STRIDES = TRIAL_QUANTITIES.filter((q): q is MeanOfStrides => !isOfArm(q));

export function entryOf(quantity: Quantity): CatalogueEntry {
  return CATALOGUE[quantity];
}

export function hasMean(quantity: Quantity): quantity is TrialQuantity {
  return entryOf(quantity).kind !== "instant";
}

export function isOfArm(quantity: Quantity): quantity is ArmQuantity {
  return entryOf(quantity).kind === "arm";
}
