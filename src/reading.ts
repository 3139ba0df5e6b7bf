import type { ArmJoint, EventName, Side } from "./study/types.ts";
import type { WarningCode } from "./warningCodes.ts";

/** What drawn values say: mean, standard deviation, and the interval that leaves 2.5 % of them on each side. */
export interface Drawn {
  readonly mean: number;
  readonly u: number;
  readonly low: number;
  readonly high: number;
}

/** value ± u95 (half-width of the 95 % interval), SI. `atFrame`: the same at the marked frames, uncorrected. */
export interface Measured {
  readonly value: number;
  readonly u95: number;
  readonly atFrame?: number;
  /** The same by Monte Carlo, where asked for. */
  readonly drawn?: Drawn;
  /** Of several views of one trial, which gave it, counted from 1; absent with one view. */
  readonly views?: readonly number[];
}

/** Could not be measured; `why` is a sentence for the coach: the reason and, where there is one, what to do. */
export interface NotMeasured {
  readonly value: null;
  readonly why: string;
  /** One of these, each with its own ±, and only an answer from the coach can tell which. */
  readonly either?: readonly Measured[];
}

export type Reading = Measured | NotMeasured;

export interface Warning {
  readonly code: WarningCode;
  readonly text: string;
  /** Where it is about a part of a trial only: which values are not to be believed beside it. */
  readonly about?: {
    readonly strides?: readonly number[];
    readonly arm?: Side;
    /** Of that arm: the answer to "toward the camera" that is in doubt. */
    readonly answer?: { readonly event: EventName; readonly frame: number; readonly joint: ArmJoint };
    /** Blades whose marks are not where the blade was. */
    readonly blades?: readonly { readonly frame: number; readonly side: Side }[];
  };
}

/** A result, or why there is none. */
export type OrWhy<T> = T | NotMeasured;
