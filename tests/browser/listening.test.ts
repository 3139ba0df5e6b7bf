import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it, onTestFinished } from "vitest";
import type { Study, TrialMarks } from "../../src/study/types.ts";
import { SAMPLE_CLIPS, truthOfClip } from "../demo/demoFiles.ts";
import { claps, heardScene } from "../helpers/heardScene.ts";
import { FFMPEG } from "../helpers/paintedClip.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { dice } from "../validate/random.ts";
import { PATIENCE_MS, serveStudy } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { goToPlace, openWindow } from "./wholeJobWindow.ts";

const SOON = { timeout: PATIENCE_MS };
const ARMS = join(SAMPLE_CLIPS, "arms-study");
const TRIAL = "aino-along-1";
const BENCH = "aino-along-1-bench";

const browser = testBrowser();

/** What is added to the bench's clock to give the front's: by a push that both truths have. */
function offsetOfTruth(): number {
  const [front, bench] = [TRIAL, BENCH].map(truthOfClip);
  const off = front!.events.find(
    (e) => e.event === "blade_off" && bench!.events.some((b) => b.event === e.event && b.stride === e.stride),
  )!;
  const same = bench!.events.find((b) => b.event === "blade_off" && b.stride === off.stride)!;
  return off.exact_clip_s - same.exact_clip_s;
}

/** One trial of the evening about arms, its two clips with a sound; the bench shows only so many blade-offs and blade-ons. */
function studyWithSound(kept: number): string {
  const folder = join(temporaryFolder(), "arms");
  mkdirSync(join(folder, "marks"), { recursive: true });
  mkdirSync(join(folder, "clips"));
  const late = offsetOfTruth();
  const tracks = heardScene({
    seed: 12,
    spans: [
      [0, 7],
      [late, late + 5],
    ],
    cameras: [
      [45, 0],
      [30, 8],
    ],
    noises: claps(dice(12), [33, 3], 3.2),
  });
  const study: Study = JSON.parse(readFileSync(join(ARMS, "study.json"), "utf8"));
  const clips = [TRIAL, BENCH].map((id, k) => {
    const [raw, file] = [join(folder, `${id}.pcm`), join(folder, "clips", `${id}.mp4`)];
    const { samples } = tracks[k]!;
    writeFileSync(raw, new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength));
    const sound = ["-f", "s16le", "-ar", "8000", "-ac", "1", "-i", raw];
    const film = ["-i", join(SAMPLE_CLIPS, "clips", `${id}.mp4`)];
    const out = ["-map", "0:v", "-map", "1:a", "-c:v", "copy", "-c:a", "aac", file];
    execFileSync(FFMPEG, ["-loglevel", "error", "-y", ...film, ...sound, ...out]);
    const link = study.clips.find((c) => c.name === `${id}.mp4`)!;
    const { sha256: _, ...rest } = link;
    return { ...rest, path: `clips/${id}.mp4`, bytes: statSync(file).size };
  });
  const trials = study.trials
    .filter(({ id }) => id === TRIAL)
    .map((t) => ({ ...t, clips: t.clips!.filter(({ role }) => role === "view") }));
  writeFileSync(join(folder, "study.json"), JSON.stringify({ ...study, trials, clips }));
  for (const id of [TRIAL, BENCH]) {
    const marks: TrialMarks = JSON.parse(readFileSync(join(ARMS, "marks", `${id}.json`), "utf8"));
    const contacts = marks.events.filter(({ event }) => event.startsWith("blade_")).slice(2, 2 + kept);
    const events = id === BENCH ? contacts : marks.events;
    writeFileSync(join(folder, "marks", `${id}.json`), JSON.stringify({ ...marks, events }));
  }
  return folder;
}

describe("clocks of two views, in the window", () => {
  it("are said to be tied by strides; listened to, by sound as well, where one event is shared by it too", async () => {
    for (const [kept, before, after] of [
      [99, /Clocks tied by \d+ strides$/, /Clocks tied by \d+ strides and sound \(± 0\.\d\d s\)/],
      [1, /Clocks not tied/, /Clocks tied by 1 stride and sound \(± 0\.\d\d s\)/],
    ] as const) {
      const server = await serveStudy(studyWithSound(kept));
      onTestFinished(() => server.close());
      const page = await openWindow(browser, server.url);
      await goToPlace(page, "Measure");
      await page.getByRole("button", { name: "View 2", exact: true }).click(SOON);
      await page.getByText(before).waitFor(SOON);
      await page.getByRole("button", { name: "Listen to both clips" }).click();
      await page.getByText(after).waitFor({ timeout: 60_000 });
      expect(await page.getByRole("button", { name: "Listen again" }).count()).toBe(1);
    }
  });
});
