import { type Browser, chromium, type Page } from "playwright";
import { readPaintedNumber } from "../helpers/paintedClip.ts";
import { type BenchClip, paintedBox } from "./benchClips.ts";
import { installProbe, type Probe } from "./probe.ts";

export const CHROMIUM = process.env.CHROMIUM_PATH || "/usr/bin/chromium";
export const CHROMIUM_ARGS = [
  "--no-sandbox",
  "--disable-gpu",
  "--no-first-run",
  "--disable-background-networking",
];

/** A real browser, drawing by the processor as on a laptop without a graphics driver: the slowest anyone has. */
export function benchBrowser(): Promise<Browser> {
  return chromium.launch({ executablePath: CHROMIUM, args: CHROMIUM_ARGS });
}

/** The window at its Measure place, with the probe in it. */
export async function benchWindow(browser: Browser, url: string, clip: BenchClip): Promise<Page> {
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  await openMeasure(page, url, clip);
  return page;
}

/** Opens the window's Measure place in a page, with the probe in it. */
export async function openMeasure(page: Page, url: string, clip: BenchClip): Promise<void> {
  await page.addInitScript(installProbe, {
    ...paintedBox(clip),
    of: { width: clip.width, height: clip.height },
  });
  await page.goto(url);
  await page.getByRole("button", { name: "Measure" }).click();
}

export async function untilShown(page: Page): Promise<void> {
  await page.waitForSelector("[data-testid=picture][data-shown-frame]", { timeout: 60_000 });
}

/** Milliseconds from a key press to the right frame on the canvas, and to it in all its pixels. */
export interface Timed {
  readonly ms: number;
  readonly wholeMs: number;
}

/** Presses a key that should bring `frame` and waits for it. */
export function timedPress(page: Page, key: string, frame: number): Promise<Timed> {
  return timed(page, frame, () => page.keyboard.press(key));
}

/** @throws when the canvas holds another picture than the window says */
async function timed(page: Page, frame: number, press: () => Promise<void>): Promise<Timed> {
  await page.evaluate((n) => (window as unknown as { probe: Probe }).probe.expect(n), frame);
  await press();
  const found = await page.waitForFunction(
    () => (window as unknown as { probe: Probe }).probe.answer(),
    null,
    {
      polling: 10,
      timeout: 60_000,
    },
  );
  const answer = await found.jsonValue();
  // Else the window keeps every answer, and what it keeps is measured too.
  await found.dispose();
  if (!answer) throw new Error(`frame ${frame} never came`);
  for (const squares of [answer.painted, answer.paintedWhole]) {
    const painted = readPaintedNumber(squares, 60, 40);
    if (painted !== frame)
      throw new Error(`the window says frame ${frame}, its canvas holds frame ${painted}`);
  }
  return answer;
}

/** Types a frame's number and presses Enter. */
export async function timedJump(page: Page, frame: number): Promise<Timed> {
  await page.getByTestId("frame-field").fill(String(frame));
  return timedPress(page, "Enter", frame);
}

/** From one key to the next, of a person who types fast. */
const BETWEEN_KEYS_MS = 100;

/** The same at a person's pace: a key after the other, then Enter, from which the time is taken. */
export async function typedJump(page: Page, frame: number): Promise<Timed> {
  const field = page.getByTestId("frame-field");
  await field.fill("");
  await field.pressSequentially(String(frame), { delay: BETWEEN_KEYS_MS });
  await page.waitForTimeout(BETWEEN_KEYS_MS);
  return timedPress(page, "Enter", frame);
}

/** Where the ribbon's time axis begins and ends, px from its sides. */
const AXIS = { left: 64, right: 24 };

/** Presses on the ribbon where the pointer rests, `restMs` after it came there; 0 as a finger does, unannounced. */
export async function ribbonJump(page: Page, clip: BenchClip, frame: number, restMs: number): Promise<Timed> {
  const box = await page.locator(".ribbon").boundingBox();
  if (!box) throw new Error("there is no ribbon");
  const x = box.x + AXIS.left + (box.width - AXIS.left - AXIS.right) * (frame / (clip.frames - 1));
  const y = box.y + 60;
  if (restMs > 0) {
    await page.mouse.move(x, y);
    await page.waitForTimeout(restMs);
  }
  return timed(page, frame, () => page.mouse.click(x, y));
}

/** Leaves the field, so that arrow keys step. */
export async function leaveField(page: Page): Promise<void> {
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
}

export function bitmaps(page: Page) {
  return page.evaluate(() => (window as unknown as { probe: Probe }).probe.bitmaps());
}
