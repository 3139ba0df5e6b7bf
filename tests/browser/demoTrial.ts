import { writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { onTestFinished } from "vitest";
import type { MarkingDepth, TrialMarks } from "../../src/study/types.ts";
import { PATIENCE_MS, serveStudy } from "./measureWindow.ts";
import type { TestBrowser } from "./testBrowser.ts";
import { demoWithClips, openWindow, PICTURE, studyOnDisk, TRIAL, TRUTH } from "./wholeJobWindow.ts";

/** The last frame of the clip. */
const LAST = 331;

/**
 * The demo study in Measure, at Signe's open recovery, trial 1, with its clip and the marks given.
 *
 * @param first where the part of the clip that matters begins
 */
export async function openDemo(
  browser: TestBrowser,
  marks: TrialMarks,
  markingDepth?: MarkingDepth,
  first = 0,
): Promise<{ page: Page; folder: string }> {
  const folder = await demoWithClips([TRIAL], markingDepth ? { markingDepth } : {});
  if (first > 0) {
    const study = studyOnDisk(folder);
    const clips = study.clips.map((c) => ({ ...c, part: { first, last: LAST } }));
    writeFileSync(join(folder, "study.json"), JSON.stringify({ ...study, clips }));
  }
  writeFileSync(join(folder, "marks", `${TRIAL}.json`), JSON.stringify(marks));
  const server = await serveStudy(folder);
  onTestFinished(() => server.close());
  const page = await openWindow(browser, server.url);
  await page.getByRole("button", { name: /^Measure/ }).click();
  await page.getByRole("button", { name: /^Trial \d+ of/ }).click();
  await page.getByRole("menuitem", { name: /Signe, open recovery, trial 1/ }).click();
  await page.getByText(`to ${LAST}`, { exact: true }).waitFor({ timeout: PATIENCE_MS });
  return { page, folder };
}

/** Of the trial only the ice points are marked. */
export function scaleOnly(): TrialMarks {
  return {
    format: "blademark.marks",
    version: 1,
    trial: TRIAL,
    picture: { clip: TRIAL, ...PICTURE, frameInterval: 1 / 60 },
    iceReference: {
      kind: "ice-points",
      points: TRUTH.ice_points.map(({ x_m, y_m, x_px, y_px }, i) => ({
        label: `P${i + 1}`,
        xPx: x_px,
        yPx: y_px,
        x: x_m,
        y: y_m,
      })),
    },
    events: [],
    marks: [],
  };
}
