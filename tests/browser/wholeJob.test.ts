import type { Page } from "playwright";
import { describe, expect, it, onTestFinished } from "vitest";
import { PATIENCE_MS, serveStudy, untilExact, untilSaved } from "./measureWindow.ts";
import { PORTABLE, servePortable } from "./portable.ts";
import { testBrowser } from "./testBrowser.ts";
import {
  CLIP_FILE,
  demoStudyWithoutClips,
  goToPlace,
  marksOnDisk,
  openWindow,
  placeButton,
  positionOnDisk,
  putPoint,
  studyOnDisk,
  TRIAL,
  TRUTH,
} from "./wholeJobWindow.ts";

const SOON = { timeout: PATIENCE_MS };
const ROW = "Signe, open recovery, trial 1";

/** Five pushes in the middle of the lane: the three inner ones have both neighbours. */
const FIRST = 7;
const LAST = 11;
/** Blade-offs and blade-ons in the order in which they happen. */
const EVENTS = TRUTH.events
  .filter(({ event, stride }) =>
    event === "blade_off" ? stride >= FIRST && stride <= LAST : stride >= FIRST && stride < LAST,
  )
  .filter(({ event }) => event === "blade_off" || event === "blade_on")
  .sort((a, b) => a.frame - b.frame);

const browser = testBrowser();

/** The host of these sources, or that of a portable folder that is tried. */
const serve = (folder: string) => (PORTABLE ? servePortable(PORTABLE, folder) : serveStudy(folder));

describe("the whole job on a rendered clip", () => {
  it("goes from a clip to numbers that hold the truth, to a comparison, and is all there again when reopened", async () => {
    const folder = demoStudyWithoutClips();
    const server = await serve(folder);
    let closed = false;
    onTestFinished(() => (closed ? undefined : server.close()));
    const page = await openWindow(browser, server.url);

    await attachClip(page, ROW);
    await expect.poll(() => studyOnDisk(folder).clips.map((c) => c.name), SOON).toEqual([`${TRIAL}.mp4`]);
    await openTrial(page);
    await setScale(page);
    await markStrides(page);
    await expect.poll(() => marksOnDisk(folder).marks.length, SOON).toBe(2 * EVENTS.length);
    expectMarksLieOnTruth(folder);
    await expectNumbersHoldTruth(page);
    await expectComparison(page);

    await goToPlace(page, "Measure");
    const left = bladeOff(LAST - 1).frame;
    await untilExact(page, left);
    await untilSaved(page);
    await expect
      .poll(() => positionOnDisk(folder), SOON)
      .toEqual({ place: "measure", trial: TRIAL, frame: left });
    const kept = marksOnDisk(folder);
    await page.close();
    await server.close();
    closed = true;

    const again = await serve(folder);
    onTestFinished(() => again.close());
    const reopened = await openWindow(browser, again.url);
    await untilExact(reopened, left);
    expect(await placeButton(reopened, "Measure").getAttribute("aria-current")).toBe("page");
    await reopened.getByRole("heading", { level: 1, name: /Signe/ }).waitFor();
    await reopened.getByRole("button", { name: /^Ice: 10 points, fit/ }).waitFor();
    await expectNumbersHoldTruth(reopened);
    expect(marksOnDisk(folder)).toEqual(kept);
  });
});

describe("what goes wrong on the way", () => {
  it("is said in words, and nothing wrong is kept", async () => {
    const folder = demoStudyWithoutClips();
    const server = await serveStudy(folder);
    onTestFinished(() => server.close());
    const page = await openWindow(browser, server.url);

    await goToPlace(page, "Times");
    const time = page.getByLabel(`Time of ${ROW}, seconds`);
    await time.fill("4.8x");
    await time.press("Enter");
    await expect
      .poll(() => page.getByRole("alert").allTextContents(), SOON)
      .toEqual([expect.stringContaining("4.8x")]);
    // The time of that trial in sample-clips/demo-study/study.json.
    expect(await time.inputValue()).toBe("4.37");
    expect(studyOnDisk(folder).trials.find((t) => t.id === TRIAL)?.time).toBe(4.37);

    const dropped = await page.evaluateHandle(() => {
      const data = new DataTransfer();
      data.items.add(new File(["Signe 4.37, no video in here"], "notes.mp4", { type: "video/mp4" }));
      return data;
    });
    const row = page.getByRole("row").filter({ has: time });
    await row.dispatchEvent("drop", { dataTransfer: dropped });
    await page.getByText('"notes.mp4" is not a video file.').first().waitFor(SOON);
    expect(await row.getByRole("button", { name: "notes.mp4" }).count()).toBe(0);

    await attachClip(page, "Signe, open recovery, trial 2");
    await openTrial(page);
    await page.getByRole("button", { name: "Own places" }).click();
    for (const [i, { x_m, y_m, x_px, y_px }] of TRUTH.ice_points
      .filter((p) => p.y_m > 0)
      .slice(0, 3)
      .entries()) {
      await page.getByLabel("name", { exact: true }).fill(`cone ${i + 1}`);
      await page.getByLabel("along", { exact: true }).fill(String(x_m));
      await page.getByLabel("across", { exact: true }).fill(String(y_m));
      await page.getByRole("button", { name: "Add this place" }).click();
      await page.getByRole("heading", { name: `Ice point: cone ${i + 1}` }).waitFor();
      await putPoint(page, x_px, y_px);
    }
    await page.getByRole("heading", { name: "Three points on one line" }).waitFor();
    await page.getByText(/cone 1, cone 2, cone 3 lie on one line\. That gives no width/).waitFor();
    await page.getByRole("button", { name: "Ice: 3 points, no scale" }).waitFor();
  });
});

async function attachClip(page: Page, trial: string): Promise<void> {
  await goToPlace(page, "Times");
  const chooser = page.waitForEvent("filechooser");
  const cell = page.locator("td", { has: page.getByLabel(`Clip of ${trial}`) });
  await cell.getByRole("button", { name: "Add clip" }).click();
  await (await chooser).setFiles(CLIP_FILE);
  await page.getByRole("button", { name: `${TRIAL}.mp4` }).waitFor(SOON);
}

async function openTrial(page: Page): Promise<void> {
  await page.getByRole("button", { name: `${TRIAL}.mp4` }).click();
  await page.getByRole("heading", { level: 1, name: /Signe/ }).waitFor();
  await page.getByText("to 331", { exact: true }).waitFor({ timeout: PATIENCE_MS });
  await untilExact(page, 0);
}

async function goToFrame(page: Page, frame: number): Promise<void> {
  await page.getByTestId("frame-field").fill(String(frame));
  await page.getByTestId("frame-field").press("Enter");
  await page.getByTestId("frame-field").blur();
}

const bladeOff = (stride: number) => EVENTS.find((e) => e.event === "blade_off" && e.stride === stride)!;

/** All ten crosses: x = 1, 8 ... 29 m, 1.5 m to each side. */
async function setScale(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Own places" }).click();
  await page.getByLabel("from", { exact: true }).fill("1");
  await page.getByLabel("to", { exact: true }).fill("29");
  await page.getByLabel("every", { exact: true }).fill("7");
  await page.getByRole("button", { name: "List these pairs" }).click();
  for (const { x_m, y_m, x_px, y_px } of TRUTH.ice_points) {
    const side = y_m > 0 ? "left" : "right";
    await page.getByRole("heading", { name: `Ice point: ${x_m} m ${side}`, exact: true }).waitFor();
    await putPoint(page, x_px, y_px);
  }
  const chip = page.getByRole("button", { name: /^Ice: 10 points, fit/ });
  await chip.waitFor();
  const fit = /fit ([\d.]+) px/.exec((await chip.textContent()) ?? "")?.[1];
  expect(Number(fit)).toBeLessThan(1.5);
  await page.getByRole("button", { name: "Scale is done: mark strides" }).click();
}

async function markStrides(page: Page): Promise<void> {
  await page.getByRole("combobox", { name: "What to mark" }).click();
  await page.getByRole("option", { name: "Width and touchdown" }).click();
  for (const { event, side, frame, points } of EVENTS) {
    await goToFrame(page, frame);
    await untilExact(page, frame);
    const words = `${side === "left" ? "Left" : "Right"} ${event === "blade_off" ? "blade-off" : "blade-on"}`;
    await page
      .getByRole("region", { name: "What to do next" })
      .getByText(new RegExp(words, "i"))
      .first()
      .waitFor();
    await page.getByRole("button", { name: "This is the frame" }).click();
    for (const end of ["heel", "toe"]) {
      const title = `${side === "left" ? "Left" : "Right"} blade, ${end} end`;
      await page.getByRole("heading", { name: title }).waitFor();
      const at = points.find((p) => p.side === side && p.point === `blade_${end}`)!;
      await putPoint(page, at.x_px, at.y_px);
    }
  }
}

function expectMarksLieOnTruth(folder: string): void {
  const { events, marks } = marksOnDisk(folder);
  expect(events.map(({ event, side, frame }) => ({ event, side, frame }))).toEqual(
    EVENTS.map(({ event, side, frame }) => ({ event, side, frame })),
  );
  for (const mark of marks) {
    const truth = EVENTS.find((e) => e.frame === mark.frame)!;
    const at = truth.points.find((p) => p.side === mark.side && p.point === mark.point)!;
    // A fifth of half a screen pixel each way, at 0.6 screen pixels a picture pixel or more, is 0.24 px.
    expect(Math.hypot(mark.xPx - at.x_px, mark.yPx - at.y_px)).toBeLessThan(0.25);
    expect(mark.time).toBeCloseTo(truth.frame_clip_s, 5);
  }
}

/** The numbers of the three inner pushes, read off the page. */
async function expectNumbersHoldTruth(page: Page): Promise<void> {
  for (let stride = FIRST + 1; stride < LAST; stride++) {
    const truth = TRUTH.strides.find((s) => s.stride === stride)!;
    await goToFrame(page, bladeOff(stride).frame);
    const panel = page.getByRole("region", { name: `Numbers of stride ${stride - FIRST + 1}` });
    await panel.getByText(truth.side, { exact: true }).first().waitFor();
    for (const [name, value] of [
      ["Stride width", truth.stride_width_m!.at_event],
      ["Touchdown to track midline", truth.touchdown_to_track_midline_m!.at_event],
    ] as const) {
      const row = panel.getByRole("row", { name: new RegExp(`^${name}`) });
      const text = (await row.locator("td.value").textContent()) ?? "";
      const [, shown, u95] = /^([\d.]+) ± ([\d.]+)\scm/.exec(text) ?? [];
      expect(Math.abs(Number(shown) - 100 * value), `${name} of push ${stride}: ${text}`).toBeLessThanOrEqual(
        Number(u95),
      );
    }
  }
}

async function expectComparison(page: Page): Promise<void> {
  await goToPlace(page, "Compare");
  // By hand from the photocell times in sample-clips/demo-study/study.json, two trials a technique: Tove's means are
  // 4.310 and 4.355 s (the smallest difference), Bea's 4.665 and 4.880 s (the largest).
  await page
    .getByRole("region", { name: "Answer" })
    .getByText(/Open recovery was faster, by 0\.121\ss on average \(all five, 0\.045 to 0\.215\ss\)/)
    .waitFor();
  await page.getByText("As a table, with the reason for each verdict").first().click();
  const cells = page
    .getByRole("row", { name: /^Signe/ })
    .first()
    .getByRole("cell");
  // Signe: (4.49 + 4.45) / 2 and (4.37 + 4.35) / 2.
  // ± of a mean of two: t(10) = 2.228 times the typical error over root 2 (Student's table, two-sided 5 %).
  const means = (await cells.allInnerTexts()).slice(1, 3).map((text) => text.replaceAll(/\s/g, " "));
  expect(means.map((text) => /^([\d.]+) ± 0\.\d+ s$/.exec(text)?.[1])).toEqual(["4.470", "4.360"]);
  expect(await cells.nth(3).textContent()).toMatch(/^−0\.110\s±\s0\.\d+\ss$/);
}
