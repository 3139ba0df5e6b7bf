import { trialMarks } from "./marksSchema.ts";
import { parseDocument } from "./parseDocument.ts";
import type { TrialMarks } from "./types.ts";

/**
 * A trial's marks from the plain data of `marks/TRIAL.json`. Unknown fields are kept.
 *
 * @throws {MeasureError} `not-this-format`, `newer-version`, `damaged-document` naming each path and what is wrong
 */
export function parseMarks(json: unknown): TrialMarks {
  return parseDocument(json, { format: "blademark.marks", version: 1, words: "marks file" }, trialMarks);
}
