import type { TrialMarks, WholeStudy } from "../../../../src/study/types.ts";
import { trialReading } from "../../../store/readings.ts";

const NONE: readonly string[] = [];

/**
 * Arm questions of this frame whose carried answer swings the arm otherwise than in the trial's other strides: there
 * the answer would change, so it is asked again. As `questionKey`.
 */
export function doubtedAnswers(whole: WholeStudy, marks: TrialMarks, frame: number): readonly string[] {
  if (!marks.events.some((e) => e.frame === frame && e.carried)) return NONE;
  const reading = trialReading(whole, marks.trial);
  if (!reading.ok) return NONE;
  return reading.value.warnings.flatMap(({ about }) =>
    about?.answer?.frame === frame
      ? [`${about.answer.event} ${about.arm} ${frame} ${about.answer.joint}`]
      : [],
  );
}
