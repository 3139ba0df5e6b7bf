import type { ScaleReference } from "../ice/fitScale.ts";
import type { ScaleSummary, SteadyPicture } from "../ice/types.ts";
import type { MarkSds, Repeats } from "../marks/markSds.ts";
import type { StrideQuantity, TrialQuantity } from "../quantities/catalogue.ts";
import type { Drawn, NotMeasured, Reading, Warning } from "../reading.ts";
import type { Body, EventFrame, Lens, Mark, Picture, Side } from "../study/types.ts";

/** A point on the ice, metres in the ice frame, with the standard uncertainties of its marks and scale together. */
export interface IcePlace {
  readonly x: number;
  readonly y: number;
  readonly ux: number;
  readonly uy: number;
}

/** A place in the ice frame, metres; z = 0 on the ice. */
export interface Place3d {
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/** A point of body or blade whose place in space is known in a frame. */
export interface PlacedPoint extends Place3d {
  readonly frame: number;
  /** null: of neither side. */
  readonly side: Side | null;
  /** `blade` is the middle of the runner. */
  readonly point: "blade_heel" | "blade_toe" | "blade" | "mid_hip" | "shoulder" | "elbow" | "wrist";
}

/** What recovery to midline is measured between. */
export interface RecoveryPlace {
  readonly frame: number;
  /** Middle of the recovering blade, in the air. */
  readonly blade: Place3d;
  readonly hip: Place3d;
  /** On the ice, across the travel from the blade: where the midline passes. */
  readonly midline: { readonly x: number; readonly y: number };
}

/** One push, ending at that blade's blade-off, and the recovery that follows it. */
export interface Stride {
  /** 1, 2, 3 … in order of blade-off. */
  readonly stride: number;
  readonly side: Side;
  readonly blade_off_frame: number;
  readonly blade_on_frame: number | null;
  /** Where the first of several views does not show this push: the one that does, from 1. Frames are then the first view's of those moments. */
  readonly view?: number;
  readonly readings: Readonly<Record<StrideQuantity, Reading>>;
  readonly armSwingDirectionDeg: Readonly<Record<Side, Reading>>;
  readonly armSwingAngleDeg: Readonly<Record<Side, Reading>>;
  /**
   * Angle in the picture, as drawn there, between the shoulder-to-wrist directions at the two extremes. Only where
   * the arm swings in the picture's own plane is it the swing's angle.
   */
  readonly armPictureAngleDeg: Readonly<Record<Side, Reading>>;
  /** Along-track speed around this stride, m/s of real time. */
  readonly alongTrackSpeed: Reading;
  /** Blade points for the ice map; null where they cannot be placed. */
  readonly off: IcePlace | null;
  readonly on: IcePlace | null;
  /** Of the recovery that follows; null where it cannot be placed. */
  readonly recovery: RecoveryPlace | null;
}

/** Mean over one side's strides, ± for what was marked; strides of one side share no more than the midline. */
export type SideMean = { readonly mean: number; readonly u95: number; readonly n: number } | NotMeasured;

/** Trial mean of one quantity: (mean of left + mean of right) / 2 for positions and arms, plain mean otherwise. */
export type TrialMean =
  | {
      readonly mean: number;
      /** SD between strides; null when n < 2. */
      readonly sd: number | null;
      readonly u95: number;
      readonly n: number;
      readonly left: SideMean;
      readonly right: SideMean;
      /** How far the sides differ in what was marked; ± with what they share counted once. */
      readonly leftMinusRight: Reading;
      /** The same mean by Monte Carlo, where asked for. */
      readonly drawn?: Drawn;
      /** As of a reading. */
      readonly views?: readonly number[];
    }
  | NotMeasured;

/** A trial's own time between two gates of the lane. */
export interface GateSprint {
  readonly seconds: number;
  /** Metres from the start line. */
  readonly gates: readonly [first: number, last: number];
  readonly start: "standing" | "flying" | "not said";
  /** Only somebody's look says that the scale holds for this clip. */
  readonly byLook?: boolean;
}

/** What a trial is measured from. All times are clip times; `speedFactor` turns them into real seconds. */
export interface MeasureInput {
  readonly marks: readonly Mark[];
  readonly events: readonly EventFrame[];
  readonly iceReference: ScaleReference | null;
  /** Displayed picture, px. */
  readonly picture: Picture;
  /** Clip seconds between frames; null = take it from the times of the marks and events. */
  readonly frameInterval: number | null;
  readonly speedFactor: number;
  readonly body: Body;
  /** SD of one mark per coordinate, px, where ten or more points marked repeatedly do not tell better. */
  readonly markSdPx: number;
  /** What the repeat marks of the whole study tell; absent = what this trial's own do. */
  readonly studyRepeats?: Repeats | null;
  /** Reckon with `markSdPx` whatever the repeat marks say; hips excepted, see `reckonedSds`. */
  readonly markSdIsKnown?: boolean;
  /** Places along the lane at which the along-track speed is asked for, metres from the start line. */
  readonly gates?: readonly number[];
  /** What the speed along the lane is held against. */
  readonly timed?: GateSprint;
  /** Overrides the ice reference's own lens where given. */
  readonly lens?: Lens;
  /** Where the clip's background has been looked at; the ice reference then is that of the picture that stands still. */
  readonly steady?: SteadyPicture;
}

export interface TrialReadings {
  /** null where there is no usable ice reference; times and rates are still had. */
  readonly scale: ScaleSummary | null;
  /** Why there is no scale, for the coach; null when there is one. */
  readonly scaleWhy: string | null;
  readonly strides: readonly Stride[];
  readonly trial: Readonly<Record<TrialQuantity, TrialMean>>;
  /** Means of each arm's own swings over the trial. */
  readonly arms: {
    readonly directionDeg: Readonly<Record<Side, TrialMean>>;
    readonly angleDeg: Readonly<Record<Side, TrialMean>>;
  };
  readonly alongTrackSpeed: TrialMean;
  readonly sprint: SprintCurve;
  /** In order of frames. */
  readonly places: readonly PlacedPoint[];
  /** At the gates asked for. */
  readonly gateSpeeds: readonly GateSpeed[];
  /** How long the skater's runner comes out on the ice: it tells about the scale. */
  readonly runner: Reading;
  /** SD of one mark per coordinate that was reckoned with for each kind of point, and the repeat marks it was found from. */
  readonly marking: MarkSds;
  /** Present after `measureTrialDrawn`. */
  readonly monteCarlo?: MonteCarloReport;
  readonly warnings: readonly Warning[];
}

/** v(t) = top (1 − exp(−(t − start)/τ)), fitted to a trial's along-track speeds; SI, real seconds of the clip. */
export type SprintCurve =
  | {
      readonly top: Reading;
      readonly tau: Reading;
      readonly start: Reading;
      /** Misfit of the speeds in their own standard deviations; about 1 where the curve fits. */
      readonly misfit: number;
      readonly n: number;
      /** Stretch of time it was fitted over. */
      readonly from: number;
      readonly to: number;
    }
  | NotMeasured;

/** Along-track speed at a place along the lane, metres from the start line. */
export interface GateSpeed {
  readonly x: number;
  readonly speed: Reading;
}

/** What drawing errors said beside the linear propagation (JCGM 101:2008, 8). */
export interface MonteCarloReport {
  readonly draws: number;
  /** Numbers compared. */
  readonly compared: number;
  /** Where an end of the drawn interval lies more than a tenth of u95 from the linear one, and why. */
  readonly differences: readonly { readonly what: string; readonly why: string }[];
}
