import type { Place } from "../../src/study/exchange.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { trialReading } from "./readings.ts";

export interface PlaceStatus {
  /** Under the place's name: "9 of 10". */
  readonly words: string;
  /** What comes next there, one sentence. */
  readonly next: string;
}

/**
 * What is done and what is missing, for the bar.
 *
 * @param counted false while trials are still being measured for the first time: the number is left out till then
 */
export function placeStatus(whole: WholeStudy, counted: boolean): Record<Place, PlaceStatus> {
  const { trials, skaters, techniques, lane } = whole.study;
  const timed = trials.filter((t) => t.time !== null).length;
  const measured = counted ? trials.filter((t) => isMeasured(whole, t.id)).length : 0;
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
      words: counted ? ofTrials(measured) : "",
      next:
        measured < trials.length
          ? `${trials.length - measured} trials have no stride width yet.`
          : "Every trial is measured.",
    },
    compare: { words: "", next: "What differs between the techniques, and by how much." },
    report: { words: "", next: "What will be printed." },
  };
}

/** Measures every trial once, one at a time, so that the window stays quick while it opens. */
export async function measureAll(whole: WholeStudy, stopped: () => boolean): Promise<void> {
  for (const { id } of whole.study.trials) {
    await new Promise((resolve) => setTimeout(resolve, 0));
    if (stopped()) return;
    trialReading(whole, id);
  }
}

/** A trial counts as measured once it gives at least one stride width. */
export function isMeasured(whole: WholeStudy, trial: string): boolean {
  const reading = trialReading(whole, trial);
  return reading.ok && reading.value.strides.some((s) => s.readings.stride_width_m.value !== null);
}
