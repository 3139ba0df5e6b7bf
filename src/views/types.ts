import type { ScaleSummary } from "../ice/types.ts";
import type { TrialReadings } from "../kinematics/types.ts";
import type { NotMeasured } from "../reading.ts";

/** One view of several as it stands to the first. */
export interface ViewSummary {
  /** Counted from 1. */
  readonly view: number;
  readonly scale: ScaleSummary | null;
  readonly scaleWhy: string | null;
  readonly marking: TrialReadings["marking"];
  readonly runner: TrialReadings["runner"];
  /** Added to the view's own clock to give the first view's, seconds, at `at` of its own clock. */
  readonly offset: { readonly value: number; readonly u95: number };
  readonly at: number;
  /** Seconds of the first view's clock in one of its own. */
  readonly rate: { readonly value: number; readonly u95: number };
  /** Contacts it shares with the first view, and how many of these lie farther apart than two picks of one moment can. */
  readonly shared: number;
  /** What both clips' sound says of the clocks; absent where nobody listened. */
  readonly sound?: SoundSummary;
  /** What was said of the clocks otherwise; absent where nothing was. */
  readonly said?: SaidSummary;
}

/** An offset that was given beside the events: as `ViewSummary.offset`. */
export interface SaidSummary {
  readonly offset: Known;
  /** Blade-offs and blade-ons that tie the clocks as well. */
  readonly events: number;
  /** Whether it counts for the tie: not where the events speak against it. */
  readonly used: boolean;
}

interface Known {
  readonly value: number;
  readonly u95: number;
}

/** How a view's clock lies to the first one's by what both hear, or why that does not tell. */
export type SoundSummary =
  | {
      /** As `ViewSummary.offset`, at `at` of the view's own clock, by the sound alone. */
      readonly offset: Known;
      readonly at: number;
      readonly rate: Known | NotMeasured;
      /** Metres that the cameras are apart at most, and whether both their places are known. */
      readonly apart: number;
      readonly placesKnown: boolean;
      /** Blade-offs and blade-ons that tie the clocks as well. */
      readonly events: number;
      /** Whether it counts for the tie: not where it speaks against the events. */
      readonly used: boolean;
    }
  | NotMeasured;

/** One trial by several views: as one trial's readings, each saying which views gave it, and the views themselves. */
export interface ViewsReadings {
  /** Times in the first view's clock, frames those of the first view that shows a stride. */
  readonly readings: TrialReadings;
  readonly views: readonly ViewSummary[];
}
