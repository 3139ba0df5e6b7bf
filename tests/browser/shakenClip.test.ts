import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it, onTestFinished } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { Study, TrialMarks } from "../../src/study/types.ts";
import { trialInput } from "../../src/trials/trialInput.ts";
import { SAMPLE_CLIPS } from "../demo/demoFiles.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { at, type Course, warpedClip } from "../helpers/warpedClip.ts";
import { PATIENCE_MS, serveStudy } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { goToPlace, openWindow } from "./wholeJobWindow.ts";

const TRIAL = "aino-close-1";
const FRAMES = 200;

/** 4 px SD each way from frame to frame, as picture stabilisation does; by ffmpeg's own filter (tests/helpers/warpedClip.ts). */
const DX: Course = {
  waves: [
    [4, 2.1, 0.4],
    [4, 0.83, 1.9],
  ],
};
const DY: Course = {
  waves: [
    [4, 1.7, 2.2],
    [4, 2.63, 0.1],
  ],
};

const browser = testBrowser();

/** The trial's marks on a clip that shakes: where the picture has put them, ice points as on frame 0. */
function shakenMarks(): { readonly still: TrialMarks; readonly shaken: TrialMarks } {
  const file = join(SAMPLE_CLIPS, "demo-study/marks", `${TRIAL}.json`);
  const whole: TrialMarks = JSON.parse(readFileSync(file, "utf8"));
  const early = <T extends { readonly frame: number }>(all: readonly T[]) =>
    all.filter((m) => m.frame < FRAMES);
  const { gatePassings: _, ...rest } = whole;
  const { iceReference } = rest;
  if (iceReference?.kind !== "ice-points") throw new Error("the demo has ice points");
  const points = iceReference.points.map((p) => ({ ...p, frame: 0 }));
  const picture = { ...rest.picture!, clip: "shaken" };
  const still = { ...rest, picture, events: early(rest.events), marks: early(rest.marks) };
  const marks = still.marks.map((m) => ({
    ...m,
    xPx: m.xPx + at(DX, m.frame),
    yPx: m.yPx + at(DY, m.frame),
  }));
  return { still, shaken: { ...still, marks, iceReference: { ...iceReference, points } } };
}

it("a clip that shakes is looked at in Measure, and measured as the same clip without shaking", async () => {
  const folder = join(temporaryFolder(), "study");
  for (const part of ["clips", "marks"]) mkdirSync(join(folder, part), { recursive: true });
  const file = join(folder, "clips", "shaken.mp4");
  warpedClip({
    ...{
      from: join(SAMPLE_CLIPS, "clips", `${TRIAL}.mp4`),
      file,
      frames: FRAMES,
      after: "noise=alls=6:allf=t",
    },
    ...{ moves: { dx: DX, dy: DY }, size: [1280, 720], keep: [1280, 720] },
  });
  const study: Study = JSON.parse(readFileSync(join(SAMPLE_CLIPS, "demo-study/study.json"), "utf8"));
  const trials = study.trials
    .filter((t) => t.id === TRIAL)
    .map((t) => ({ ...t, clip: "shaken", time: null }));
  const clips = [
    { id: "shaken", name: "shaken.mp4", path: "clips/shaken.mp4", bytes: readFileSync(file).length },
  ];
  const one: Study = { ...study, trials, clips };
  const { still, shaken } = shakenMarks();
  writeFileSync(join(folder, "study.json"), JSON.stringify(one));
  const marksFile = join(folder, "marks", `${TRIAL}.json`);
  writeFileSync(marksFile, JSON.stringify(shaken));
  const server = await serveStudy(folder);
  onTestFinished(() => server.close());
  const page = await openWindow(browser, server.url);
  await goToPlace(page, "Measure");
  await page.getByRole("button", { name: /^Ice:/ }).click();
  const scale = page.getByRole("region", { name: "Scale of the ice" });
  await scale.getByRole("button", { name: "Look at the background of this clip" }).click();
  const said = scale.getByText(/The picture shakes by [34]\.\d px \(SD\)\. It is taken out frame by frame/);
  await said.waitFor({ timeout: PATIENCE_MS });
  const kept = (): TrialMarks => JSON.parse(readFileSync(marksFile, "utf8"));
  await expect.poll(() => kept().motion?.frames.length).toBe(FRAMES);
  const { motion } = kept();
  const off = motion!.frames.flatMap((entry, n) => {
    if (!entry) return [];
    // A shift: where the picture's corner of frame 0 is seen.
    return [entry[2]! - at(DX, n), entry[5]! - at(DY, n)];
  });
  expect(off.length).toBeGreaterThan(2 * 0.95 * FRAMES);
  expect(Math.sqrt(off.reduce((sum, v) => sum + v * v, 0) / off.length)).toBeLessThan(0.15);
  const widths = (marks: TrialMarks) =>
    measureTrial(trialInput({ study: one, marks: { [TRIAL]: marks } }, TRIAL)).strides.map(
      ({ readings }) => readings.stride_width_m,
    );
  const [truth, blind, seen] = [widths(still), widths(shaken), widths(kept())];
  const most = (found: typeof truth) =>
    Math.max(
      ...truth.map((t, k) =>
        t.value === null || found[k]!.value === null ? 0 : Math.abs(found[k]!.value - t.value),
      ),
    );
  expect(truth.filter((t) => t.value !== null).length).toBeGreaterThan(2);
  expect(most(seen)).toBeLessThan(0.004);
  // Without it a width is off by centimetres, or what is marked is told to be nowhere a blade can have been.
  const spoilt = truth.filter(
    ({ value }, k) =>
      value !== null && (blind[k]!.value === null || Math.abs(blind[k]!.value! - value) > 0.03),
  );
  expect(spoilt.length).toBeGreaterThan(1);
});
