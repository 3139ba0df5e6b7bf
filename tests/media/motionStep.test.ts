import { cpSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import type { Study } from "../../src/study/types.ts";
import { blademark } from "../helpers/commandLine.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { warpedClip } from "../helpers/warpedClip.ts";

const SAMPLES = join(import.meta.dirname, "../../sample-clips");
const TRIAL = "aino-close-1";

it("the motion of a study's clip is a step: to do, done, and to do again where its part is another", async () => {
  const folder = join(temporaryFolder(), "study");
  mkdirSync(join(folder, "clips"), { recursive: true });
  const file = join(folder, "clips", "one.mp4");
  const from = join(SAMPLES, "clips", `${TRIAL}.mp4`);
  warpedClip({
    from,
    file,
    frames: 24,
    moves: { dx: { perFrame: 0.5 } },
    size: [1280, 720],
    keep: [640, 480],
  });
  const study: Study = JSON.parse(readFileSync(join(SAMPLES, "demo-study/study.json"), "utf8"));
  const trials = study.trials.filter((t) => t.id === TRIAL).map((t) => ({ ...t, clip: "one" }));
  const write = (part?: { first: number; last: number }) => {
    const bytes = readFileSync(file).length;
    const clips = [{ id: "one", name: "one.mp4", path: "clips/one.mp4", bytes, ...(part && { part }) }];
    writeFileSync(join(folder, "study.json"), JSON.stringify({ ...study, trials, clips }));
  };
  write();
  mkdirSync(join(folder, "marks"));
  cpSync(join(SAMPLES, "demo-study/marks", `${TRIAL}.json`), join(folder, "marks", `${TRIAL}.json`));
  const step = async () => {
    const { out } = await blademark("list", folder, "--json");
    return JSON.parse(out).steps.find((s: { step: string }) => s.step === "motion");
  };
  const first = await step();
  expect(first).toMatchObject({ clip: "one", trial: null, state: "to do" });
  expect((await blademark(...first.command)).status).toBe(0);
  expect((await step()).state).toBe("done");
  const kept = JSON.parse(readFileSync(join(folder, first.output), "utf8"));
  const printed = JSON.parse((await blademark("motion", file, "--json")).out);
  expect(kept.answer).toEqual(printed);
  expect(kept.answer.still).toBe(false);
  expect((await blademark(...first.command)).said).toContain("Done before");
  write({ first: 8, last: 15 });
  const part = await step();
  expect(part.state).toBe("to do");
  expect(part.key).not.toBe(first.key);
  expect((await blademark(...part.command)).status).toBe(0);
  const { answer } = JSON.parse(readFileSync(join(folder, part.output), "utf8"));
  expect(answer.frames.map((f: { frame: number }) => f.frame)).toEqual([8, 9, 10, 11, 12, 13, 14, 15]);
  // Against the part's first frame: half a pixel a frame (tests/helpers/warpedClip.ts).
  expect(Math.abs(answer.frames[7].dx_px - 3.5)).toBeLessThan(0.2);
});
