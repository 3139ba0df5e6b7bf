import { cpSync, mkdirSync, mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright";
import { afterAll, beforeAll, onTestFinished } from "vitest";
import { H264, paintedClip } from "../helpers/paintedClip.ts";
import { STUDY, studyFolder } from "../helpers/studyFolder.ts";
import { PATIENCE_MS, serveStudy } from "./measureWindow.ts";
import { prepareAll } from "./preparedClips.ts";
import { type TestBrowser, testBrowser } from "./testBrowser.ts";

/** No key frame but the first in 240, like a phone's; every frame carries its own number. */
export const CLIP = { frames: 240, width: 640, height: 360, fps: 60 };
export const CLIP_ARGS = [...H264, "-g", "240", "-bf", "2"];
export const LAST = CLIP.frames - 1;

/** A study whose first trial shows that clip. */
export function paintedStudyFolder(clip: string): string {
  const trials = STUDY.trials.map((t, i) => (i === 0 ? { ...t, clip: "clip-0" } : t));
  return studyFolder({ ...STUDY, trials }, [], [clip]);
}

/** A page of its own on that address, whose errors fail the test. */
export async function openPage(
  browser: TestBrowser,
  url: string,
  change: (page: Page) => Promise<void> = async () => undefined,
): Promise<Page> {
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  onTestFinished(() => page.close());
  page.on("pageerror", (error) => {
    throw error;
  });
  await change(page);
  await page.goto(url);
  return page;
}

/** Opens Measure and waits for its first picture. */
export async function openMeasure(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Measure" }).click();
  await page.waitForSelector("[data-testid=picture][data-shown-frame]", { timeout: PATIENCE_MS });
}

/** Waits until the whole clip is prepared. */
export async function untilReady(page: Page): Promise<void> {
  await page.getByText(`to ${LAST}`, { exact: true }).waitFor({ timeout: PATIENCE_MS });
}

export async function typeFrame(page: Page, frame: number | string): Promise<void> {
  await page.getByTestId("frame-field").fill(String(frame));
  await page.keyboard.press("Enter");
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
}

export async function leaveScale(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Leave the scale for now" }).click();
}

/**
 * A browser and the painted clip for the tests of a file. The clip is made and prepared once: a study over it begins with a
 * copy of the prepared frames, as one that was open before.
 */
export function paintedWindows() {
  const browser = testBrowser();
  let folder = "";
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), "blademark-painted-"));
    const file = await paintedClip({ ...CLIP, file: join(folder, "painted.mp4"), args: CLIP_ARGS });
    await prepare(folder, file);
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  /** A study over the prepared clip, open in a window that shows no place yet; `open` opens another. */
  return async (change?: (page: Page) => Promise<void>) => {
    const study = paintedStudyFolder(join(folder, "painted.mp4"));
    cpSync(join(folder, "study", "cache"), join(study, "cache"), { recursive: true });
    const server = await serveStudy(study);
    onTestFinished(() => server.close());
    const open = () => openPage(browser, server.url, change);
    return { page: await open(), folder: study, open };
  };
}

/** The same, in Measure with the whole clip ready. */
export function paintedClips() {
  const openWindow = paintedWindows();
  return async () => {
    const opened = await openWindow();
    await openMeasure(opened.page);
    await untilReady(opened.page);
    return opened;
  };
}

/** Prepares the clip in the study `folder`/study. */
async function prepare(folder: string, file: string): Promise<void> {
  const study = join(folder, "study");
  mkdirSync(study);
  const clips = [{ id: "clip-0", name: "painted.mp4", path: "../painted.mp4", bytes: statSync(file).size }];
  writeFileSync(join(study, "study.json"), JSON.stringify({ ...STUDY, clips }));
  await prepareAll(study, "clip-0");
}
