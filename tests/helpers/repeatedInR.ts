import { spawnSync } from "node:child_process";
import { mkdirSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { tableFiles } from "../../src/report/tables/studyTables.ts";
import type { GatePassing, Trial, WholeStudy } from "../../src/study/types.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";
import { emptyMarks } from "../../src/trials/trialInput.ts";
import { itWhere } from "./itWhere.ts";

/** R (Debian's r-base-core) redoes what the tables say with its own t.test, pt and qt. */
export const itWithR = itWhere(
  spawnSync("Rscript", ["--version"]).status === 0,
  "no R here; Debian: apt-get install r-base-core",
);

/**
 * Writes a study's tables into a folder and runs their `repeat.R` there.
 *
 * @param change what becomes of a table's text before R reads it
 */
export function repeatedInR(
  folder: string,
  { whole, readingOf }: { readonly whole: WholeStudy; readonly readingOf: ReadingOf },
  change: (name: string, content: string) => string = (_, c) => c,
): { readonly status: number | null; readonly said: string } {
  mkdirSync(folder, { recursive: true });
  for (const left of readdirSync(folder)) rmSync(join(folder, left));
  for (const { name, content } of tableFiles(whole, "names", readingOf))
    writeFileSync(join(folder, name), change(name, content));
  // On matrices this small more threads only wait for each other.
  const env = { ...process.env, OPENBLAS_NUM_THREADS: "1" };
  const ran = spawnSync("Rscript", [join(folder, "repeat.R")], { encoding: "utf8", env });
  return { status: ran.status, said: `${ran.stdout}${ran.stderr}` };
}

/** The same times, of some trials by clips of so many frames a second: frames picked at both gates, the nearest there are. */
export function timedByClips(whole: WholeStudy, rateOf: (trial: Trial) => number | null): WholeStudy {
  const marks = { ...whole.marks };
  const trials = whole.study.trials.map((trial): Trial => {
    const rate = rateOf(trial);
    if (rate === null || trial.time === null) return trial;
    const before = marks[trial.id] ?? emptyMarks(trial.id);
    const { speedFactor } = trial;
    const frameInterval = speedFactor / rate;
    const passing = (gate: number, seconds: number): GatePassing => {
      const frame = Math.round(seconds * rate);
      return { gate, frame, time: frame * frameInterval };
    };
    marks[trial.id] = {
      ...before,
      picture: { clip: trial.id, width: 1280, height: 720, ...before.picture, frameInterval },
      gatePassings: [passing(0, 1), passing(30, 1 + trial.time)],
    };
    return { ...trial, clip: trial.clip ?? trial.id, time: null, timedBy: "clip" };
  });
  return { study: { ...whole.study, trials }, marks };
}
