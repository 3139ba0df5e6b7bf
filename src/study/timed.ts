import type { Study, Trial, WholeStudy } from "./types.ts";

/** A trial whose `time` is worked out from its clip, so that nobody takes it for a photocell's. Never stored. */
export interface TimedTrial extends Trial {
  /** Standard uncertainty of a clip's time, seconds; absent = the time is the photocells'. */
  readonly clipSd?: number;
}

/** A study in which clips have given the times that were left to them. */
export interface TimedStudy extends Study {
  readonly trials: readonly TimedTrial[];
}

export interface TimedWhole extends WholeStudy {
  readonly study: TimedStudy;
}
