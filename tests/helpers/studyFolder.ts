import { mkdirSync, mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join, relative } from "node:path";
import { afterAll, onTestFinished } from "vitest";
import type { Study, TrialMarks } from "../../src/study/types.ts";

/** A folder of its own that is gone after the test. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "blademark-test-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true, maxRetries: 3 }));
  return folder;
}

/** A folder for all tests of a file, called for beside its imports; gone after the last of them. */
export function sharedFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "blademark-test-"));
  afterAll(() => rmSync(folder, { recursive: true, force: true, maxRetries: 3 }));
  return folder;
}

export const STUDY: Study = {
  format: "blademark.study",
  version: 1,
  question: "Is close recovery faster over 30 m?",
  lane: { distance: 30, unit: "m", gates: [0, 30], gateBeam: "single", start: "standing" },
  skaters: [{ id: "aino", name: "Aino", code: "A1", body: { stature: 1.7 } }],
  techniques: [
    { id: "close", name: "close recovery", asked: [{ quantity: "recovery_to_midline_m", max: 0.1 }] },
    { id: "open", name: "open recovery", asked: [] },
  ],
  trials: [
    {
      id: "t1",
      skater: "aino",
      technique: "close",
      repeat: 1,
      order: 1,
      time: 5.12,
      valid: true,
      speedFactor: 1,
    },
    {
      id: "t2",
      skater: "aino",
      technique: "open",
      repeat: 1,
      order: 2,
      time: null,
      valid: true,
      speedFactor: 1,
    },
  ],
  clips: [],
  markSdPx: 1.5,
  worthwhile: null,
  compare: { a: "close", b: "open" },
};

export const MARKS: TrialMarks = {
  format: "blademark.marks",
  version: 1,
  trial: "t1",
  picture: null,
  iceReference: null,
  events: [{ event: "blade_off", side: "left", frame: 12, time: 0.2 }],
  marks: [{ frame: 12, time: 0.2, point: "blade_toe", side: "left", xPx: 640.5, yPx: 512.25 }],
};

/** Writes a study folder; `clips` are absolute paths, linked with ids clip-0, clip-1 … */
export function studyFolder(
  study: object = STUDY,
  marks: readonly object[] = [MARKS],
  clips: readonly string[] = [],
): string {
  const folder = temporaryFolder();
  mkdirSync(join(folder, "marks"));
  const links = clips.map((file, i) => ({
    id: `clip-${i}`,
    name: basename(file),
    path: relative(folder, file),
    bytes: statSync(file, { throwIfNoEntry: false })?.size ?? 0,
  }));
  const document = clips.length > 0 ? { ...study, clips: links } : study;
  writeFileSync(join(folder, "study.json"), JSON.stringify(document));
  for (const one of marks)
    writeFileSync(join(folder, "marks", `${(one as TrialMarks).trial}.json`), JSON.stringify(one));
  return folder;
}
