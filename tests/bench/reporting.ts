import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Study, TrialMarks } from "../../src/study/types.ts";
import type { Row } from "./table.ts";

const SKATERS = 15;
const RUNS = 3;

/** The report of 60 trials, all marked, by the command in a process of its own: measured, compared, drawn, written. */
export function reportingRows(root: string): Row[] {
  const folder = mkdtempSync(join(tmpdir(), "blademark-bench-"));
  try {
    const study = sixtyTrials(root, join(folder, "study"));
    const seconds = Array.from({ length: RUNS }, (_, k) => {
      const from = performance.now();
      const out = join(folder, `report-${k}`);
      execFileSync(
        process.execPath,
        [join(root, "dist/electron/cli.js"), ...["report", study, "--out", out, "--no-pictures"]],
        { stdio: "ignore" },
      );
      return (performance.now() - from) / 1000;
    });
    const value = `best ${Math.min(...seconds).toFixed(2)} s of ${seconds.map((s) => s.toFixed(2)).join(", ")}`;
    return [{ clip: "", what: `report of ${4 * SKATERS} trials`, value, limit: "5 s" }];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The demo's fully marked trials over and over, each skater twice with each technique. */
function sixtyTrials(root: string, folder: string): string {
  const demo = join(root, "sample-clips/demo-study");
  const read = <T>(...path: string[]) => JSON.parse(readFileSync(join(demo, ...path), "utf8")) as T;
  const study = read<Study>("study.json");
  const marked = readdirSync(join(demo, "marks"))
    .map((file) => read<TrialMarks>("marks", file))
    .filter((m) => m.marks.length > 100);
  mkdirSync(join(folder, "marks"), { recursive: true });
  const skaters = Array.from({ length: SKATERS }, (_, k) => ({
    ...{ id: `s${k}`, name: `Skater ${k + 1}`, code: `S${k + 1}` },
    body: study.skaters[k % study.skaters.length]!.body,
  }));
  const trials = skaters.flatMap((skater, k) =>
    [0, 1, 2, 3].map((i) => {
      const technique = study.techniques[i % 2]!.id;
      const source = marked.filter((m) => m.trial.includes(`-${technique}-`));
      const id = `${skater.id}-${technique}-${1 + (i >> 1)}`;
      const marks = { ...source[(k + i) % source.length]!, trial: id };
      writeFileSync(join(folder, "marks", `${id}.json`), JSON.stringify(marks));
      const time = 4.7 - 0.1 * (i % 2) + 0.02 * ((7 * k + 3 * i) % 10);
      return {
        ...{ id, skater: skater.id, technique, repeat: 1 + (i >> 1), order: 4 * k + i + 1 },
        ...{ time: Number(time.toFixed(2)), valid: true, speedFactor: 1 },
      };
    }),
  );
  writeFileSync(join(folder, "study.json"), JSON.stringify({ ...study, skaters, trials, clips: [] }));
  return folder;
}
