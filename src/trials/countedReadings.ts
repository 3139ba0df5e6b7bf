import { MeasureError } from "../errors.ts";
import type { WholeStudy } from "../study/types.ts";
import { trialPairing } from "./clipGateTime.ts";
import type { ReadingOf } from "./techniqueCheck.ts";

/** Verdicts under which a clip may show another trial, or this one at another pace. */
const CONTRADICTED: ReadonlySet<string> = new Set(["pairing-refuted", "pairing-speed"]);

/** Code of the error that stands for a reading that is not counted. */
export const CONTRADICTS = "clip-contradicts-time";

/**
 * Readings that may count for a trial: none where the clip's own time from gate to gate contradicts the photocells',
 * for then nothing says that the clip shows this trial.
 */
export function countedReadings(whole: WholeStudy, readingOf: ReadingOf): ReadingOf {
  const known = new Map<string, ReturnType<ReadingOf>>();
  const counted = (trial: string): ReturnType<ReadingOf> => {
    if (contradiction(whole, trial, readingOf) === null) return readingOf(trial);
    return {
      ok: false,
      error: new MeasureError(
        CONTRADICTS,
        `countedReadings: the clip of ${trial} contradicts its time`,
        "The clip's own time from gate to gate contradicts the photocells': it may show another trial, so nothing measured on it counts.",
        { trial },
      ),
    };
  };
  return (trial) => {
    const before = known.get(trial);
    if (before) return before;
    const reading = counted(trial);
    known.set(trial, reading);
    return reading;
  };
}

/** What speaks against the trial's clip, in words; null when nothing does. */
export function contradiction(whole: WholeStudy, trial: string, readingOf: ReadingOf): string | null {
  const reading = readingOf(trial);
  const said = trialPairing(whole, trial, reading.ok ? reading.value.strides : []);
  return said && CONTRADICTED.has(said.code) ? said.text : null;
}
