import { cpSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { expect, onTestFinished } from "vitest";
import type { PointName, Side, Study, TrialMarks } from "../../src/study/types.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { onPage } from "./measureWindow.ts";
import { clipsOfDemo, givePrepared } from "./preparedClips.ts";
import type { TestBrowser } from "./testBrowser.ts";

const SAMPLES = join(import.meta.dirname, "../../sample-clips");

export const TRIAL = "signe-open-1";
export const CLIP_FILE = join(SAMPLES, "clips", `${TRIAL}.mp4`);
export const PICTURE = { width: 1280, height: 720 };

/** What the clip shows, exactly; the form is written down in sample-clips/README.md. */
export interface Truth {
  readonly ice_points: readonly {
    readonly x_m: number;
    readonly y_m: number;
    readonly x_px: number;
    readonly y_px: number;
  }[];
  readonly strides: readonly {
    readonly stride: number;
    readonly side: Side;
    readonly stride_width_m: { readonly at_event: number } | null;
    readonly touchdown_to_track_midline_m: { readonly at_event: number } | null;
  }[];
  readonly events: readonly {
    readonly event: string;
    readonly side: Side;
    readonly stride: number;
    readonly frame: number;
    readonly frame_clip_s: number;
    /** Arm extremes only. */
    readonly elbow_toward_camera?: boolean;
    readonly wrist_toward_camera?: boolean;
    readonly points: readonly {
      readonly point: PointName;
      readonly side: Side;
      readonly x_px: number;
      readonly y_px: number;
    }[];
  }[];
}

export const TRUTH: Truth = JSON.parse(readFileSync(join(SAMPLES, "truth", `${TRIAL}.json`), "utf8"));

/**
 * The demo study in a folder of its own. Signe's open recovery, trial 1, has no clip; neither have the others, whose
 * marks stay: their frames are not looked at here and would be prepared first.
 */
export function demoStudyWithoutClips(): string {
  const folder = timesOfDemo();
  cpSync(join(SAMPLES, "demo-study/marks"), join(folder, "marks"), { recursive: true });
  return folder;
}

/** The demo study with these trials' clips, whose frames are prepared. */
export async function demoWithClips(ids: readonly string[], change: Partial<Study> = {}): Promise<string> {
  const folder = demoStudyWithoutClips();
  const study = studyOnDisk(folder);
  const trials = study.trials.map((t) => (ids.includes(t.id) ? { ...t, clip: t.id } : t));
  const clips = clipsOfDemo(ids, folder);
  writeFileSync(join(folder, "study.json"), JSON.stringify({ ...study, ...change, trials, clips }));
  await givePrepared(folder, ids);
  return folder;
}

/** The same without its marks, which each window over them works out anew: for what has nothing to do with them. */
export function timesOfDemo(): string {
  const folder = join(temporaryFolder(), "study");
  mkdirSync(folder);
  const study: Study = JSON.parse(readFileSync(join(SAMPLES, "demo-study/study.json"), "utf8"));
  const trials = study.trials.map(({ clip: _, ...trial }) => trial);
  writeFileSync(join(folder, "study.json"), JSON.stringify({ ...study, trials, clips: [] }));
  return folder;
}

export const studyOnDisk = (folder: string): Study =>
  JSON.parse(readFileSync(join(folder, "study.json"), "utf8"));

export const marksOnDisk = (folder: string): TrialMarks =>
  JSON.parse(readFileSync(join(folder, "marks", `${TRIAL}.json`), "utf8"));

/** Where the person was when last seen. */
export const positionOnDisk = (folder: string): unknown =>
  JSON.parse(readFileSync(join(folder, "cache/position.json"), "utf8"));

/** A window on that address; an error in the page fails the test. */
export async function openWindow(browser: TestBrowser, url: string): Promise<Page> {
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  onTestFinished(() => page.close());
  page.on("pageerror", (error) => {
    throw error;
  });
  await page.goto(url);
  return page;
}

export async function goToPlace(page: Page, name: string): Promise<void> {
  await placeButton(page, name).click();
  await expect.poll(() => placeButton(page, name).getAttribute("aria-current")).toBe("page");
}

export const placeButton = (page: Page, name: string) =>
  page.getByRole("navigation", { name: "Places" }).getByRole("button", { name: new RegExp(`^${name}`) });

/**
 * Presses near a picture point and, Shift held, drags the rest of the way at a fifth of the pace, as a person does
 * under the magnifier: to within a fifth of half a screen pixel.
 */
export async function putPoint(page: Page, xPx: number, yPx: number): Promise<void> {
  const exact = await onPage(page, xPx, yPx);
  const start = { x: Math.round(exact.x), y: Math.round(exact.y) };
  expect(await covered(page, start), `(${xPx}, ${yPx}) can be reached on the picture`).toBe(false);
  await page.mouse.move(start.x, start.y);
  await page.mouse.down();
  await page.keyboard.down("Shift");
  await page.mouse.move(
    Math.round(start.x + 5 * (exact.x - start.x)),
    Math.round(start.y + 5 * (exact.y - start.y)),
  );
  await page.mouse.up();
  await page.keyboard.up("Shift");
}

function covered(page: Page, at: { x: number; y: number }): Promise<boolean> {
  return page.evaluate(({ x, y }) => {
    const top = document.elementFromPoint(x, y);
    return top === null || top.closest("[data-testid=picture]") === null;
  }, at);
}
