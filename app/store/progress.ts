import type { Place } from "../../src/study/exchange.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { trialReading } from "./readings.ts";

export interface PlaceStatus {
  /** Under the place's name: "9 of 10". */
  readonly words: string;
  /** What comes next there, one sentence. */
  readonly next: string;
}

/** What is done and what is missing, for the bar. */
export function placeStatus(whole: WholeStudy): Record<Place, PlaceStatus> {
  const { trials, skaters, techniques, lane } = whole.study;
  const timed = trials.filter((t) => t.time !== null).length;
  const measured = trials.filter((t) => isMeasured(whole, t.id)).length;
  const planned = lane.distance > 0 && skaters.length > 0 && techniques.length > 0 && trials.length > 0;
  const ofTrials = (n: number) => (trials.length === 0 ? "" : `${n} of ${trials.length}`);
  return {
    plan: planned
      ? { words: "done", next: "Skaters, techniques and run order are set." }
      : { words: "to do", next: "Set the lane, skaters, techniques and run order." },
    times: {
      words: ofTrials(timed),
      next:
        timed < trials.length
          ? `${trials.length - timed} trials have no time yet.`
          : "Every trial has its time.",
    },
    measure: {
      words: ofTrials(measured),
      next:
        measured < trials.length
          ? `${trials.length - measured} trials have no stride width yet.`
          : "Every trial is measured.",
    },
    compare: { words: "", next: "What differs between the techniques, and by how much." },
    report: { words: "", next: "What will be printed." },
  };
}

/** A trial counts as measured once it gives at least one stride width. */
export function isMeasured(whole: WholeStudy, trial: string): boolean {
  const reading = trialReading(whole, trial);
  return reading.ok && reading.value.strides.some((s) => s.readings.stride_width_m.value !== null);
}
