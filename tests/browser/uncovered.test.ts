import { readdirSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { describe, expect, it, onTestFinished } from "vitest";
import { SAMPLE_CLIPS, type Truth } from "../demo/demoFiles.ts";
import { ALL } from "../faults/table.ts";
import { onPage, PATIENCE_MS, serveStudy, untilExact } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { demoWithClips, goToPlace, openWindow } from "./wholeJobWindow.ts";

/** From the front, of the widest skater from the front, and from askew. */
const TRIALS = ["aino-close-1", "tove-open-1", "aino-open-2"] as const;

const SIZES = [
  { width: 1440, height: 900 },
  { width: 1280, height: 720 },
  { width: 1024, height: 768 },
] as const;

/** What lies where is laid out anew a moment after the window is resized. */
const SOON = { timeout: PATIENCE_MS };

const browser = testBrowser();

describe("the picture", () => {
  it("shows both blades of the event frames of three trials, uncovered, in any window", async () => {
    // Every fifth frame in `npm test`, which meets each event of both feet, each trial at a size; all at all in `npm run faults`.
    const page = await openThree();
    for (const [k, trial] of TRIALS.entries()) {
      await openTrial(page, trial);
      for (const size of ALL ? SIZES : SIZES.slice(k, k + 1)) {
        await page.setViewportSize(size);
        for (const { frame, points } of bladesByFrame(trial).filter((_, i) => ALL || i % 5 === 0)) {
          await goTo(page, frame);
          const where = `on frame ${frame} of ${trial}, ${size.width} x ${size.height}`;
          expect(await timesWhole(page), `it is not the whole picture ${where}`).toBeGreaterThan(1.5);
          for (const p of points) {
            const at = await onPage(page, p.x_px, p.y_px);
            expect(await topmost(page, at), `${p.side} ${p.point} ${where}`).toBe("picture");
          }
        }
      }
    }
  });

  it("has no control over it, and nothing leaves the window, at any size, in either theme, zoomed or not", async () => {
    const page = await openThree();
    await openTrial(page, "tove-open-1");
    for (const scheme of ["Dark", "Light"]) {
      for (const size of SIZES) {
        await page.setViewportSize(size);
        for (const key of ["0", "z"]) {
          await page.keyboard.press(key);
          await expect
            .poll(() => overThePicture(page), {
              message: `${key} at ${size.width} x ${size.height}`,
              ...SOON,
            })
            .toEqual([]);
          await expect
            .poll(() => outsideTheWindow(page), {
              message: `${key} at ${size.width} x ${size.height}`,
              ...SOON,
            })
            .toEqual([]);
        }
      }
      await page.getByRole("button", { name: `${scheme} colours` }).click();
    }
    await page.getByRole("button", { name: /^Ice: / }).click();
    for (const size of SIZES) {
      await page.setViewportSize(size);
      await expect
        .poll(() => overThePicture(page), { message: `the scale at ${size.width} x ${size.height}`, ...SOON })
        .toEqual([]);
      await expect
        .poll(() => outsideTheWindow(page), {
          message: `the scale at ${size.width} x ${size.height}`,
          ...SOON,
        })
        .toEqual([]);
    }
  });

  it("stays where it is, whatever is asked under it", async () => {
    const page = await openThree();
    await page.setViewportSize({ width: 1280, height: 720 });
    await openTrial(page, "aino-close-1");
    const places = new Set<string>();
    for (const { frame } of bladesByFrame("aino-close-1").slice(0, 8)) {
      for (const by of [0, 1]) {
        await goTo(page, frame + by);
        places.add(JSON.stringify(await page.getByTestId("picture").boundingBox()));
      }
    }
    expect([...places]).toHaveLength(1);
  });
});

/** How many times as large as the whole picture would be what is shown is; the demo's pictures are 1280 x 720. */
async function timesWhole(page: Page): Promise<number> {
  const picture = page.getByTestId("picture");
  const [box, view] = await Promise.all([picture.boundingBox(), picture.getAttribute("data-view")]);
  if (!box || !view) throw new Error("there is no picture");
  return Number(view.split(" ")[0]) / Math.min(box.width / 1280, box.height / 720);
}

/** What of the window lies over the picture and can be pressed, read or typed in. */
function overThePicture(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const picture = document.querySelector("[data-testid=picture]");
    if (!picture) throw new Error("there is no picture");
    const box = picture.getBoundingClientRect();
    const other = [
      ...document.querySelectorAll<HTMLElement>("button, input, select, a, p, h1, h2, section, table"),
    ];
    return other
      .filter((e) => !picture.contains(e) && !e.contains(picture) && e.checkVisibility())
      .filter((e) => {
        const b = e.getBoundingClientRect();
        if (b.width === 0 || b.height === 0) return false;
        return (
          b.left < box.right - 0.5 &&
          box.left < b.right - 0.5 &&
          b.top < box.bottom - 0.5 &&
          box.top < b.bottom - 0.5
        );
      })
      .map((e) => `${e.tagName} ${e.textContent?.slice(0, 40)}`);
  });
}

/** Parts of the place that reach beyond the window, and whether anything scrolls sideways. */
function outsideTheWindow(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const parts = [
      ...document.querySelectorAll<HTMLElement>(
        ".trial-header, .chips > *, .trial-ways > *, .picture-area, .picture-bar > *, .ask, .ask-answers > *, .ask-foot > *, .measure-ribbon, .measure-side > *",
      ),
    ];
    const { innerWidth: width, innerHeight: height } = window;
    return parts
      .filter((e) => e.checkVisibility())
      .filter((e) => {
        const b = e.getBoundingClientRect();
        return b.left < -0.5 || b.right > width + 0.5 || b.bottom > height + 0.5;
      })
      .map((e) => `${e.className || e.tagName} ${e.textContent?.slice(0, 40)}`);
  });
}

function topmost(page: Page, at: { x: number; y: number }): Promise<string | null> {
  return page.evaluate(({ x, y }) => {
    const top = document.elementFromPoint(x, y);
    return top?.closest<HTMLElement>("[data-testid]")?.dataset.testid ?? null;
  }, at);
}

async function goTo(page: Page, frame: number): Promise<void> {
  await page.getByTestId("frame-field").fill(String(frame));
  await page.keyboard.press("Enter");
  await untilExact(page, frame);
}

async function openTrial(page: Page, id: string): Promise<void> {
  const [who, technique, repeat] = id.split("-") as [string, string, string];
  const name = new RegExp(`${who}, ${technique} recovery, trial ${repeat}`, "i");
  await page.getByRole("button", { name: /^Trial \d+ of/ }).click();
  await page.getByRole("menuitem", { name }).click();
  await page.getByRole("heading", { name }).waitFor();
  await page.waitForSelector("[data-testid=picture][data-shown-frame]", { timeout: PATIENCE_MS });
}

/** By the truth of the clip; blades that are in the picture. */
function bladesByFrame(clip: string) {
  const truth = JSON.parse(readFileSync(`${SAMPLE_CLIPS}truth/${clip}.json`, "utf8")) as Truth;
  const marks = JSON.parse(readFileSync(`${SAMPLE_CLIPS}demo-study/marks/${clip}.json`, "utf8"));
  const picked = new Set<number>(marks.events.map((e: { frame: number }) => e.frame));
  const [width, height] = truth.camera.picture;
  return truth.events
    .filter((e) => picked.has(e.frame) && !e.event.startsWith("arm"))
    .map(({ frame, points }) => ({
      frame,
      points: points.filter(
        (p) => p.point.startsWith("blade") && p.x_px > 0 && p.x_px < width && p.y_px > 0 && p.y_px < height,
      ),
    }));
}

async function openThree(): Promise<Page> {
  const folder = await demoWithClips(TRIALS);
  // The other trials' marks have nothing to do with it, and the window would measure them.
  for (const file of readdirSync(join(folder, "marks")))
    if (!TRIALS.some((id) => file === `${id}.json`)) rmSync(join(folder, "marks", file));
  const server = await serveStudy(folder);
  onTestFinished(() => server.close());
  const page = await openWindow(browser, server.url);
  await goToPlace(page, "Measure");
  await page.waitForSelector("[data-testid=picture][data-shown-frame]", { timeout: PATIENCE_MS });
  return page;
}
