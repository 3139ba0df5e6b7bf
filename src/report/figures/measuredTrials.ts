import type { TrialReadings } from "../../kinematics/types.ts";
import type { ReadingOf, TechniqueCheck } from "../../trials/techniqueCheck.ts";

/** A measured trial of the two techniques that are compared. */
export interface MeasuredTrial {
  readonly skater: string;
  readonly which: "a" | "b";
  readonly time: number | null;
  readonly readings: TrialReadings;
}

/** @param readingOf only readings that count */
export function measuredTrials(check: TechniqueCheck, readingOf: ReadingOf): MeasuredTrial[] {
  return check.trials.flatMap(({ trial, skater, which }) => {
    const reading = readingOf(trial.id);
    return reading.ok ? [{ skater, which, time: trial.time, readings: reading.value }] : [];
  });
}

/** Trials of one skater and technique together, in the order they come. */
export function byCell(trials: readonly MeasuredTrial[]): (readonly MeasuredTrial[])[] {
  const cells = new Map<string, MeasuredTrial[]>();
  for (const trial of trials) {
    const key = `${trial.which} ${trial.skater}`;
    cells.set(key, [...(cells.get(key) ?? []), trial]);
  }
  return [...cells.values()];
}
