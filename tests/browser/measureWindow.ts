import { join } from "node:path";
import type { Page } from "playwright";
import { type Server, startServer } from "../../electron/serve.ts";
import { readPaintedNumber } from "../helpers/paintedClip.ts";

const ROOT = join(import.meta.dirname, "../..");

/** A busy machine is slow, not wrong: only what never comes fails, well within a test's own time. */
export const PATIENCE_MS = 240_000;

/** The real host over a study folder, with the built window. */
export function serveStudy(study: string): Promise<Server> {
  return startServer({ study, windowDir: join(ROOT, "dist/app") });
}

export interface PictureState {
  readonly wanted: number;
  readonly shown: number;
  /** The number painted in what the canvas holds. */
  readonly painted: number;
}

/** Ten pixels a painted square: enough to read it, quick to hand over. */
const SIZE = { width: 60, height: 40 };

/** What the picture says it shows and what its canvas really holds, taken in one go. */
export async function pictureState(page: Page): Promise<PictureState> {
  const { wanted, shown, data } = await page.evaluate(readCanvas, SIZE);
  return { wanted, shown, painted: readPaintedNumber(data, SIZE.width, SIZE.height) };
}

/** Runs in the page. The clip fills the stage's width or height; the rest is empty border. */
function readCanvas(size: { width: number; height: number }) {
  const host = document.querySelector<HTMLElement>("[data-testid=picture]");
  const canvas = host?.querySelector("canvas");
  if (!host || !canvas) throw new Error("there is no picture");
  const small = document.createElement("canvas");
  small.width = size.width;
  small.height = size.height;
  const pen = small.getContext("2d");
  if (!pen) throw new Error("no canvas to copy to");
  const aspect = 16 / 9;
  const width = Math.min(canvas.width, canvas.height * aspect);
  const height = width / aspect;
  pen.drawImage(
    canvas,
    (canvas.width - width) / 2,
    (canvas.height - height) / 2,
    width,
    height,
    0,
    0,
    size.width,
    size.height,
  );
  return {
    wanted: Number(host.dataset.wantedFrame),
    shown: Number(host.dataset.shownFrame),
    data: Array.from(pen.getImageData(0, 0, size.width, size.height).data),
  };
}

/** Waits until the picture shows the frame it was asked for in all its pixels; says what it shows where that never comes. */
export async function untilExact(page: Page, frame: number): Promise<void> {
  const exact = `[data-wanted-frame="${frame}"][data-shown-frame="${frame}"][data-whole-frame="${frame}"]`;
  try {
    await page.waitForSelector(`[data-testid=picture]${exact}`);
  } catch (error) {
    const picture = page.locator("[data-testid=picture]");
    const [wanted, shown, whole] = await Promise.all(
      ["wanted", "shown", "whole"].map((what) => picture.getAttribute(`data-${what}-frame`)),
    );
    throw new Error(
      `frame ${frame} did not come in ${PATIENCE_MS / 1000} s: frame ${wanted} is wanted, ${shown} shown, ${whole} in all its pixels`,
      { cause: error },
    );
  }
}

/** Where a picture point lies on the page, however the picture lies on its stage. */
export async function onPage(page: Page, xPx: number, yPx: number): Promise<{ x: number; y: number }> {
  const stage = page.locator("[data-testid=picture]");
  const [box, view] = await Promise.all([stage.boundingBox(), stage.getAttribute("data-view")]);
  if (!box || !view) throw new Error("there is no picture");
  const [scale, x, y] = view.split(" ").map(Number) as [number, number, number];
  return { x: box.x + x + xPx * scale, y: box.y + y + yPx * scale };
}

/** Waits until the window says that all is saved. */
export async function untilSaved(page: Page): Promise<void> {
  await page.locator("[data-testid=saved]", { hasText: /Saved\s*\d\d:\d\d:\d\d/ }).waitFor();
}
