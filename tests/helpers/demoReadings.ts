import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { parseMarks } from "../../src/study/parseMarks.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import { trialInput } from "../../src/study/trialInput.ts";
import type { TrialMarks, WholeStudy } from "../../src/study/types.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";

export const DEMO = join(import.meta.dirname, "../../sample-clips/demo-study");

export function demo(): WholeStudy {
  const json = (...path: string[]): unknown => JSON.parse(readFileSync(join(DEMO, ...path), "utf8"));
  const marks: Record<string, TrialMarks> = {};
  for (const file of readdirSync(join(DEMO, "marks"))) {
    const read = parseMarks(json("marks", file));
    marks[read.trial] = read;
  }
  return { study: parseStudy(json("study.json")), marks };
}

/** Each trial measured once, as the window does. */
export function readingsOf(whole: WholeStudy): ReadingOf {
  const known = new Map<string, ReturnType<ReadingOf>>();
  return (trial) => {
    const before = known.get(trial);
    if (before) return before;
    let reading: ReturnType<ReadingOf>;
    try {
      reading = { ok: true, value: measureTrial(trialInput(whole, trial)) };
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      reading = { ok: false, error };
    }
    known.set(trial, reading);
    return reading;
  };
}
