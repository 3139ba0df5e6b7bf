import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { describe, expect, it, onTestFinished } from "vitest";
import type { TrialMarks } from "../../src/study/types.ts";
import { H264, paintedClip } from "../helpers/paintedClip.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { PATIENCE_MS, serveStudy, untilExact } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { openWindow } from "./wholeJobWindow.ts";

const CLIP = { frames: 120, width: 640, height: 360, fps: 60 };
const SOON = { timeout: PATIENCE_MS };

/**
 * Where a blade leaves the ice or lands. Blade-offs are 2 m apart along the lane, 0.4 m to either side of its midline:
 * the way across between them, stride width, is 0.8 m.
 */
const EVENTS = [
  { frame: 30, side: "left", x: 7, y: 0.4 },
  { frame: 50, side: "left", x: 8.4, y: 0.1 },
  { frame: 60, side: "right", x: 9, y: -0.4 },
  { frame: 80, side: "right", x: 10.4, y: -0.1 },
  { frame: 90, side: "left", x: 11, y: 0.4 },
] as const;

const NAMES = { left: "Left", right: "Right" };

const browser = testBrowser();

describe("without a pointer", () => {
  it("sets the scale, marks a stride, moves and removes a mark", async () => {
    const { page, folder } = await openClip();
    const hand = createHand(page);

    await page.keyboard.press("Tab");
    expect(await focused(page)).toBe("Skip to the place");
    await page.keyboard.press("Enter");
    expect(await page.evaluate(() => document.activeElement?.tagName)).toBe("MAIN");

    await tabTo(page, "Own places");
    await page.keyboard.press("Enter");
    for (const [label, text] of Object.entries({ from: "3", to: "15", every: "6" })) {
      await tabTo(page, label);
      await page.keyboard.press("Control+a");
      await page.keyboard.type(text);
    }
    await tabTo(page, "List these pairs");
    await page.keyboard.press("Enter");
    await asked(page, "Ice point: 3 m left");
    await page.keyboard.press("c");
    expect(await page.evaluate(() => document.activeElement?.getAttribute("data-testid"))).toBe("picture");
    for (const [x, y] of [
      [3, 1.5],
      [3, -1.5],
      [9, 1.5],
      [9, -1.5],
      [15, 1.5],
      [15, -1.5],
    ] as const) {
      await asked(page, `Ice point: ${x} m ${y > 0 ? "left" : "right"}`);
      await hand.put(seenAt(x, y));
    }
    await tabTo(page, "Scale is done: mark strides");
    await page.keyboard.press("Enter");
    await tabTo(page, "What to mark");
    // The bands of this study rest on the hips.
    await page.keyboard.press("ArrowDown");
    await page.getByRole("option", { name: /^Recovery and hips/ }).waitFor();
    await page.keyboard.press("ArrowUp");
    await page.keyboard.press("Enter");
    expect(await page.getByRole("combobox", { name: "What to mark" }).inputValue()).toMatch(
      /^Width and touchdown/,
    );
    // In a field the arrows are the field's; on the picture they step, or move the cursor while a point is asked for.
    await tabTo(page, "Something else?");
    await page.keyboard.press("c");
    for (const { frame, side, x, y } of EVENTS) {
      await goTo(page, frame);
      await page.keyboard.press("Enter");
      await asked(page, `${NAMES[side]} blade, heel end`);
      await hand.put(seenAt(x - 0.15, y));
      await asked(page, `${NAMES[side]} blade, toe end`);
      // Enter once too often puts nothing on top of the point before.
      await page.keyboard.press("Enter");
      await hand.put(seenAt(x + 0.15, y));
    }
    await page.keyboard.press("Escape");
    await expect.poll(() => marksOnDisk(folder).marks.length, SOON).toBe(10);
    for (const mark of marksOnDisk(folder).marks) {
      const event = EVENTS.find((e) => e.frame === mark.frame);
      if (!event) throw new Error(`a mark on frame ${mark.frame}`);
      const meant = seenAt(event.x + (mark.point === "blade_toe" ? 0.15 : -0.15), event.y);
      // The finest step is a tenth of a pixel; half of it either way.
      expect(Math.abs(mark.xPx - meant.xPx)).toBeLessThanOrEqual(0.0501);
      expect(Math.abs(mark.yPx - meant.yPx)).toBeLessThanOrEqual(0.0501);
    }
    await goTo(page, 60);

    await page.keyboard.press("x");
    const before = marksOnDisk(folder).marks.find((m) => m.frame === 60);
    await page.keyboard.press("Alt+Shift+ArrowRight");
    await page.keyboard.press("Alt+ArrowUp");
    const moved = () => marksOnDisk(folder).marks.find((m) => m.frame === 60 && m.point === before?.point);
    await expect.poll(() => moved()?.xPx, SOON).toBeCloseTo((before?.xPx ?? 0) + 1, 6);
    await expect.poll(() => moved()?.yPx, SOON).toBeCloseTo((before?.yPx ?? 0) - 0.1, 6);
    await page.keyboard.press("Delete");
    await expect.poll(() => marksOnDisk(folder).marks.length, SOON).toBe(9);
    await page.keyboard.press("Control+z");
    await expect.poll(() => marksOnDisk(folder).marks.length, SOON).toBe(10);

    await tabTo(page, "Stride width");
    await page.getByRole("tooltip").waitFor();
    const row = page.getByRole("row", { name: /^Stride width/ });
    const [, value, u95] = /([\d.]+)\s±\s([\d.]+)\scm/.exec((await row.textContent()) ?? "") ?? [];
    expect(Math.abs(Number(value) - 80)).toBeLessThanOrEqual(Number(u95));
    expect(Number(u95)).toBeLessThan(20);
  });
});

async function openClip(): Promise<{ page: Page; folder: string }> {
  const file = await paintedClip({
    ...CLIP,
    file: join(temporaryFolder(), "painted.mp4"),
    args: [...H264, "-g", "30"],
  });
  const trials = STUDY.trials.map((t, i) => (i === 0 ? { ...t, clip: "clip-0" } : t));
  const folder = studyFolder({ ...STUDY, trials }, [], [file]);
  const server = await serveStudy(folder);
  onTestFinished(() => server.close());
  const page = await openWindow(browser, server.url);
  await page.getByText(`to ${CLIP.frames - 1}`, { exact: true }).waitFor({ timeout: PATIENCE_MS });
  return { page, folder };
}

const marksOnDisk = (folder: string): TrialMarks =>
  JSON.parse(readFileSync(join(folder, "marks", "t1.json"), "utf8"));

/** A camera at 20 m along the lane, 3 m up, looking back along it; focal length 300 px; closed-form pinhole. */
function seenAt(x: number, y: number): { xPx: number; yPx: number } {
  const depth = 20 - x;
  return {
    xPx: (CLIP.width - 1) / 2 + (300 * y) / depth,
    yPx: (CLIP.height - 1) / 2 - 100 + (300 * 3) / depth,
  };
}

/** Moves the cursor from where it is; it begins in the middle of the picture. */
function createHand(page: Page) {
  let at = { xPx: (CLIP.width - 1) / 2, yPx: (CLIP.height - 1) / 2 };
  const along = async (distance: number, back: string, on: string) => {
    let tenths = Math.round(Math.abs(distance) * 10);
    for (const [size, held] of [
      [100, ""],
      [10, "Shift+"],
      [1, "Alt+"],
    ] as const) {
      for (; tenths >= size; tenths -= size) await page.keyboard.press(held + (distance < 0 ? back : on));
    }
    return (Math.sign(distance) * Math.round(Math.abs(distance) * 10)) / 10;
  };
  return {
    async put(to: { xPx: number; yPx: number }): Promise<void> {
      const dx = await along(to.xPx - at.xPx, "ArrowLeft", "ArrowRight");
      const dy = await along(to.yPx - at.yPx, "ArrowUp", "ArrowDown");
      at = { xPx: at.xPx + dx, yPx: at.yPx + dy };
      await page.keyboard.press("Enter");
    },
  };
}

/** What the focused element is called. */
function focused(page: Page): Promise<string> {
  return page.evaluate(() => {
    const element = document.activeElement;
    if (!(element instanceof HTMLElement)) return "";
    const field = element instanceof HTMLInputElement ? element.labels?.[0]?.textContent : null;
    // The key that stands on a button is no part of its name.
    const named = element.cloneNode(true) as HTMLElement;
    for (const hidden of named.querySelectorAll(".key")) hidden.remove();
    return (element.getAttribute("aria-label") ?? field ?? named.textContent ?? "").trim();
  });
}

/** Goes on by Tab until that is focused; each stop on the way shows that it is. */
async function tabTo(page: Page, name: string): Promise<void> {
  for (let stops = 0; stops < 150; stops++) {
    await page.keyboard.press("Tab");
    const now = await focused(page);
    if (now !== "") expect(await focusShows(page), `one sees that "${now}" is focused`).toBe(true);
    if (now === name) return;
  }
  throw new Error(`"${name}" is not reached by Tab`);
}

/** An outline, or a field whose border changes, at least 1 px wide and not transparent. */
function focusShows(page: Page): Promise<boolean> {
  return page.evaluate(() => {
    const element = document.activeElement;
    if (!element || element === document.body) return true;
    const { outlineStyle, outlineWidth, borderTopWidth, borderTopColor } = getComputedStyle(element);
    if (outlineStyle !== "none" && Number.parseFloat(outlineWidth) >= 1) return true;
    const field = element instanceof HTMLInputElement || element instanceof HTMLSelectElement;
    return field && Number.parseFloat(borderTopWidth) >= 1 && borderTopColor !== "rgba(0, 0, 0, 0)";
  });
}

async function asked(page: Page, title: string): Promise<void> {
  await page
    .getByRole("region", { name: "What to do next" })
    .getByRole("heading", { name: title, exact: true })
    .waitFor(SOON);
}

/** By tens and ones. */
async function goTo(page: Page, frame: number): Promise<void> {
  const picture = page.getByTestId("picture");
  const away = async () => frame - Number(await picture.getAttribute("data-wanted-frame"));
  for (let d = await away(); d !== 0; d = await away()) {
    await page.keyboard.press((Math.abs(d) >= 10 ? "Shift+" : "") + (d < 0 ? "ArrowLeft" : "ArrowRight"));
  }
  await untilExact(page, frame);
}
