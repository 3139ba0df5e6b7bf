import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { parseMarks } from "../../src/study/parseMarks.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import type { TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";

export const DEMO = join(import.meta.dirname, "../../sample-clips/demo-study");

export const ARMS = join(import.meta.dirname, "../../sample-clips/arms-study");

export function demo(folder = DEMO): WholeStudy {
  const json = (...path: string[]): unknown => JSON.parse(readFileSync(join(folder, ...path), "utf8"));
  const marks: Record<string, TrialMarks> = {};
  for (const file of readdirSync(join(folder, "marks"))) {
    const read = parseMarks(json("marks", file));
    marks[read.trial] = read;
  }
  return { study: parseStudy(json("study.json")), marks };
}

/** The demo's readings, each measured when it is first asked for. */
export const DEMO_READINGS = measuredOnce(demo());
