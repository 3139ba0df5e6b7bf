import { cpSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it, onTestFinished } from "vitest";
import type { LikeClip, Study } from "../../src/study/types.ts";
import { SAMPLE_CLIPS } from "../demo/demoFiles.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { warpedClip } from "../helpers/warpedClip.ts";
import { PATIENCE_MS, serveStudy } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { goToPlace, openWindow, studyOnDisk } from "./wholeJobWindow.ts";

const [ONE, TWO] = ["aino-close-1", "aino-open-1"];
/** The truth, by ffmpeg's own filter (tests/helpers/warpedClip.ts). */
const [RIGHT, DOWN] = [7.3, -2.6];

const browser = testBrowser();

/** Two trials filmed by one camera that was turned in between; ice points on the first only. */
function tripodStudy(): string {
  const folder = join(temporaryFolder(), "study");
  for (const part of ["clips", "marks"]) mkdirSync(join(folder, part), { recursive: true });
  const from = join(SAMPLE_CLIPS, "clips", `${ONE}.mp4`);
  const one = join(folder, "clips", "one.mp4");
  const cut = { from, frames: 24, size: [1280, 720], keep: [1280, 720] } as const;
  warpedClip({ ...cut, file: one, moves: {} });
  const moves = { dx: { steps: [[0, RIGHT]] }, dy: { steps: [[0, DOWN]] } } as const;
  const before = "select=gte(n\\,200),setpts=PTS-STARTPTS";
  warpedClip({ ...cut, file: join(folder, "clips", "two.mp4"), moves, before });
  const study: Study = JSON.parse(readFileSync(join(SAMPLE_CLIPS, "demo-study/study.json"), "utf8"));
  const names = { [ONE]: "one", [TWO]: "two" };
  const trials = study.trials.filter((t) => t.id in names).map((t) => ({ ...t, clip: names[t.id]! }));
  const clips = ["one", "two"].map((id) => {
    const bytes = readFileSync(join(folder, "clips", `${id}.mp4`)).length;
    return { id, name: `${id}.mp4`, path: `clips/${id}.mp4`, bytes };
  });
  writeFileSync(join(folder, "study.json"), JSON.stringify({ ...study, trials, clips }));
  cpSync(join(SAMPLE_CLIPS, "demo-study/marks", `${ONE}.json`), join(folder, "marks", `${ONE}.json`));
  return folder;
}

it("a clip joins another's camera set-up by its background: found by the machine, taken by a person", async () => {
  const folder = tripodStudy();
  const server = await serveStudy(folder);
  onTestFinished(() => server.close());
  const page = await openWindow(browser, server.url);
  await goToPlace(page, "Measure");
  await page.getByRole("button", { name: /^Trial \d+ of/ }).click();
  await page.getByRole("menuitem", { name: /Aino, open recovery, trial 1/ }).click();
  const scale = page.getByRole("region", { name: "Scale of the ice" });
  await scale.getByRole("button", { name: /^Same place as Aino, close/ }).click();
  const found = scale.getByText(/turned: its background lies 7\.\d px right and 2\.\d px up here/);
  await found.waitFor({ timeout: PATIENCE_MS });
  const likeOf = (study: Study): LikeClip | undefined =>
    study.setups?.[0]?.trials.find((t) => t.trial === TWO)?.like;
  expect(likeOf(studyOnDisk(folder))?.by).not.toBe("background");
  await scale.getByRole("button", { name: "Take it" }).click();
  await scale.getByText(/background compared; its picture lies 7\.\d px right/).waitFor();
  await expect.poll(() => likeOf(studyOnDisk(folder))?.by).toBe("background");
  const { dxPx, dyPx, turnDeg, uPx } = likeOf(studyOnDisk(folder))!;
  expect(Math.abs(dxPx! - RIGHT)).toBeLessThan(3 * uPx!);
  expect(Math.abs(dyPx! - DOWN)).toBeLessThan(3 * uPx!);
  expect(Math.abs(turnDeg!)).toBeLessThan(0.03);
});
