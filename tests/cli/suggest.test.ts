import { copyFileSync, cpSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { modelFiles } from "../../electron/suggest/poseModels.ts";
import type { EventFrame, TrialMarks } from "../../src/study/types.ts";
import { blademark } from "../helpers/commandLine.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";

const SAMPLES = join(import.meta.dirname, "../../sample-clips");
const TRIAL = "aino-close-1";

/** The demo without the clips' files, of one trial the events that are kept, with what is marked there. */
function demo(keep: (e: EventFrame) => boolean): string {
  const folder = join(temporaryFolder(), "demo-study");
  cpSync(join(SAMPLES, "demo-study"), folder, { recursive: true });
  const file = join(folder, "marks", `${TRIAL}.json`);
  const all: TrialMarks = JSON.parse(readFileSync(file, "utf8"));
  const events = all.events.filter(keep);
  const frames = new Set(events.map((e) => e.frame));
  writeFileSync(
    file,
    JSON.stringify({ ...all, events, marks: all.marks.filter((m) => frames.has(m.frame)) }),
  );
  return folder;
}

describe("blademark suggest, where nothing can be suggested", () => {
  it("says so at once, before any clip is looked at, where no side has two strides marked", async () => {
    // Of each side one stride late in the clip, whose file is nowhere.
    const folder = demo((e) => e.frame > 265 && e.frame < 305);
    const ran = await blademark("suggest", folder, TRIAL, "--json");
    expect(ran).toMatchObject({ status: 0, said: "" });
    const { format, taught, events, points, refused } = JSON.parse(ran.out);
    expect({ format, taught, events, points }).toEqual({
      ...{ format: "blademark.suggest", taught: { left: 1, right: 1 }, events: [], points: [] },
    });
    expect(refused.map((r: { what: string; side: string }) => [r.what, r.side])).toEqual([
      ["everything", "left"],
      ["everything", "right"],
    ]);
    const { out } = await blademark("suggest", folder, TRIAL);
    expect(out).toContain("Mark 2 strides of the left side by hand first");
  });

  it("tells what to do: unknown trial, no clip, nothing marked, clip not there", async () => {
    const folder = demo(() => true);
    for (const [trial, words] of [
      ["nobody", 'This study has no trial "nobody". Its trials are: aino-close-1,'],
      ["aino-close-2", "Add its clip in Times."],
      ["signe-open-1", "Mark two strides of each side by hand first"],
      [TRIAL, "Put it back, or add it again."],
    ] as const) {
      const ran = await blademark("suggest", folder, trial, "--json");
      expect(ran, trial).toMatchObject({ status: 1, out: "" });
      expect(ran.said, trial).toContain(words);
    }
    expect(await blademark("suggest", folder)).toMatchObject({ status: 2, out: "" });
    expect(await blademark("suggest", "--judge", folder, TRIAL)).toMatchObject({ status: 2, out: "" });
  });

  it("names a trial that --judge has nothing to judge by, or whose clip is gone, and goes on", async () => {
    const gone = demo(() => true);
    const all = await blademark("suggest", "--judge", gone);
    expect(all).toMatchObject({ status: 1, out: "No trial of this study could be judged.\n" });
    expect(all.said.match(/Put it back, or add it again/g)!.length).toBeGreaterThan(5);
    const folder = demo((e) => e.frame > 265 && e.frame < 305);
    const file = join(folder, "study.json");
    const study = JSON.parse(readFileSync(file, "utf8"));
    const trials = study.trials.filter((t: { id: string }) => t.id === TRIAL);
    writeFileSync(file, JSON.stringify({ ...study, trials }));
    const ran = await blademark("suggest", "--judge", folder, "--json");
    expect(ran).toMatchObject({ status: 0, said: expect.stringContaining("nothing to judge by") });
    expect(JSON.parse(ran.out)).toMatchObject({ format: "blademark.suggest-judged", trials: [] });
  });

  it("names a model's file that is missing, or is not the published one", async () => {
    const folder = temporaryFolder();
    await expect(modelFiles("lightning", folder)).rejects.toMatchObject({
      ...{ code: "model-missing", coach: expect.stringContaining("Install Blademark anew") },
    });
    const shipped = join(import.meta.dirname, "../../electron/suggest/models");
    copyFileSync(join(shipped, "movenet-lightning.json"), join(folder, "movenet-lightning.json"));
    writeFileSync(join(folder, "movenet-lightning.bin"), "something else");
    await expect(modelFiles("lightning", folder)).rejects.toMatchObject({ code: "model-changed" });
  });
});
