import { MeasureError } from "../errors.ts";
import { measureTrial } from "../kinematics/measureTrial.ts";
import type { WholeStudy } from "../study/types.ts";
import { measuredTrial } from "./measuredViews.ts";
import type { ReadingOf } from "./techniqueCheck.ts";
import { trialInput } from "./trialInput.ts";

/** A study's readings, each trial measured by all its views when it is first asked for and once; a further view by its own id. */
export function measuredOnce(whole: WholeStudy): ReadingOf {
  const known = new Map<string, ReturnType<ReadingOf>>();
  return (trial) => {
    const reading = known.get(trial) ?? measured(whole, trial);
    known.set(trial, reading);
    return reading;
  };
}

function measured(whole: WholeStudy, trial: string): ReturnType<ReadingOf> {
  try {
    const row = whole.study.trials.find(({ id }) => id === trial);
    return {
      ok: true,
      value: row ? measuredTrial(whole, row).readings : measureTrial(trialInput(whole, trial)),
    };
  } catch (error) {
    if (error instanceof MeasureError) return { ok: false, error };
    throw error;
  }
}
