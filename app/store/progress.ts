import type { Place } from "../../src/study/places.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { withClipTimes } from "../../src/trials/clipTime.ts";
import { wholeReading, workedOut } from "./readings.ts";
import { whenIdle } from "./whenIdle.ts";

export interface PlaceStatus {
  /** Under the place's name: "9 of 10". */
  readonly words: string;
  /** What comes next there, one sentence. */
  readonly next: string;
}

/**
 * What is done and what is missing, for the bar.
 *
 * @param measured how many trials are; null while that is still being worked out: it is left out till then
 */
export function placeStatus(whole: WholeStudy, measured: number | null): Record<Place, PlaceStatus> {
  const { trials, skaters, techniques, lane } = whole.study;
  const timed = withClipTimes(whole).study.trials.filter((t) => t.time !== null).length;
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
      words: measured === null ? "" : ofTrials(measured),
      next: nextToMeasure(trials.length, measured),
    },
    compare: { words: "", next: "What differs between the techniques, and by how much." },
    report: { words: "", next: "What will be printed." },
  };
}

function nextToMeasure(trials: number, measured: number | null): string {
  if (measured === null) return "The trials are being measured.";
  if (measured === trials) return "Every trial is measured.";
  return `${trials - measured} trials have no stride width yet.`;
}

/** On a machine that is never idle sixty trials still are measured in some seconds, before another place needs them. */
const EACH_MS = 50;

/**
 * Counts the trials that give at least one stride width, one at a time when the window has nothing else to do.
 *
 * @returns null when it was stopped
 */
export async function countMeasured(whole: WholeStudy, stopped: () => boolean): Promise<number | null> {
  let measured = 0;
  for (const { id } of whole.study.trials) {
    await new Promise<void>((resolve) => void whenIdle(resolve, EACH_MS));
    if (stopped()) return null;
    if (isMeasured(whole, id)) measured += 1;
  }
  workedOut.setState({ whole });
  return measured;
}

function isMeasured(whole: WholeStudy, trial: string): boolean {
  const reading = wholeReading(whole, trial);
  return reading.ok && reading.value.strides.some((s) => s.readings.stride_width_m.value !== null);
}
