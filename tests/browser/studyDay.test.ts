import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { describe, expect, it, onTestFinished } from "vitest";
import { createStudy } from "../../electron/vault/createStudy.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { PATIENCE_MS, serveStudy, untilExact } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { goToPlace, openWindow, studyOnDisk } from "./wholeJobWindow.ts";

const SOON = { timeout: PATIENCE_MS };
const CLIPS = join(import.meta.dirname, "../../sample-clips/clips");
/** The demo's clip that shows somebody else's trial, under the name of Bea's first. */
const WRONG = "bea-close-1.mp4";
const SHOWS_ANOTHER = join(CLIPS, "bea-close-2.mp4");

/** Seconds a skater, as the demo's photocells have them; every skater is faster the open way. */
const TIMES: Readonly<Record<string, string>> = {
  "Aino, close recovery, trial 1": "4.59",
  "Aino, open recovery, trial 1": "4.47",
  "Bea, close recovery, trial 1": "4.88",
  "Bea, open recovery, trial 1": "4.68",
  "Tove, close recovery, trial 1": "4.35",
  "Tove, open recovery, trial 1": "4.31",
};

const browser = testBrowser();

describe("a day of testing, from an empty study", () => {
  it("is planned, printed, timed, given its clips, warned of a wrong one, and compared", async () => {
    const folder = join(temporaryFolder(), "evening");
    await createStudy(folder);
    const server = await serveStudy(folder);
    onTestFinished(() => server.close());
    const page = await openWindow(browser, server.url);

    await plan(page);
    await printRunSheet(page);
    await typeTimes(page, folder);
    await dropClips(page, folder);
    await catchWrongClip(page);
    await compare(page);
  });
});

async function plan(page: Page): Promise<void> {
  await goToPlace(page, "Plan");
  await commit(page, "Question", "Does open recovery beat close recovery?");
  await commit(page, "Distance", "30 m");
  await commit(page, "Gates", "0 m; 30 m");
  for (const name of ["Aino", "Bea", "Tove"]) await add(page, "New skater's name", name);
  for (const name of ["close recovery", "open recovery"]) await add(page, "New technique's name", name);
  await page.getByLabel("Trials of each technique").fill("1");
  await page.getByRole("button", { name: "Make the run order" }).click();
  await page.getByText("6 trials").waitFor(SOON);
}

async function commit(page: Page, label: string, text: string): Promise<void> {
  const field = page.getByRole("textbox", { name: label, exact: true });
  await field.fill(text);
  await field.press("Enter");
}

async function add(page: Page, label: string, name: string): Promise<void> {
  await commit(page, label, name);
  await page.getByLabel(`Name of ${name}`).waitFor(SOON);
}

/** What would come out of the printer: every trial once, cautions under it, nothing of the screen. */
async function printRunSheet(page: Page): Promise<void> {
  await page.emulateMedia({ media: "print" });
  const sheet = page.locator(".run-sheet");
  await sheet.waitFor({ state: "visible" });
  expect(await sheet.locator("tbody tr").count()).toBe(6);
  const text = await sheet.textContent();
  expect(text).toContain("Lane 30 m; gates 0 m, 30 m");
  expect(text).toContain("warm up first");
  expect(await page.getByRole("navigation", { name: "Places" }).isVisible()).toBe(false);
  await page.emulateMedia({ media: "screen" });
}

/** In run order, each time and Enter, without touching the pointer in between. */
async function typeTimes(page: Page, folder: string): Promise<void> {
  await goToPlace(page, "Times");
  await expect.poll(() => studyOnDisk(folder).trials.length, SOON).toBe(Object.keys(TIMES).length);
  const rows = studyOnDisk(folder)
    .trials.slice()
    .sort((a, b) => a.order - b.order)
    .map((t) => `${named(folder, t.skater, t.technique)}, trial ${t.repeat}`);
  expect(rows.slice().sort()).toEqual(Object.keys(TIMES).sort());
  await page.getByLabel(`Time of ${rows[0]}, seconds`).click();
  for (const row of rows) {
    await page.keyboard.type(TIMES[row] as string);
    await page.keyboard.press("Enter");
  }
  await expect
    .poll(
      () =>
        studyOnDisk(folder)
          .trials.map((t) => t.time?.toFixed(2))
          .sort(),
      SOON,
    )
    .toEqual(Object.values(TIMES).sort());
}

function named(folder: string, skater: string, technique: string): string {
  const { skaters, techniques } = studyOnDisk(folder);
  return [skaters.find((s) => s.id === skater)?.name, techniques.find((t) => t.id === technique)?.name].join(
    ", ",
  );
}

/** Two clips at once, proposed by their names and confirmed. */
async function dropClips(page: Page, folder: string): Promise<void> {
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: "Add clips" }).click();
  await (await chooser).setFiles(
    [
      [join(CLIPS, "aino-open-1.mp4"), "aino-open-1.mp4"],
      [SHOWS_ANOTHER, WRONG],
    ].map(([path, name]) => ({ name: name!, mimeType: "video/mp4", buffer: readFileSync(path!) })),
  );
  const trialOf = (clip: string) =>
    page.getByLabel(`Trial of ${clip}`).locator("option:checked").textContent();
  expect(await trialOf("aino-open-1.mp4")).toContain("Aino, open recovery");
  expect(await trialOf(WRONG)).toContain("Bea, close recovery");
  await page.getByRole("button", { name: "Add 2 clips" }).click();
  await expect.poll(() => studyOnDisk(folder).clips.length, SOON).toBe(2);
}

/** Its gate frames (a person's in the demo's marks) give a time the photocells don't have. */
async function catchWrongClip(page: Page): Promise<void> {
  await page.getByRole("button", { name: WRONG }).click();
  await page.getByRole("heading", { level: 1, name: /Bea/ }).waitFor();
  await page.getByRole("button", { name: "Clip time: pick the gates" }).click();
  for (const [gate, frame] of [
    ["0 m", 54],
    ["30 m", 313],
  ] as const) {
    const number = page.getByTestId("frame-field");
    await number.fill(String(frame));
    await number.press("Enter");
    await untilExact(page, frame);
    const row = page.locator(".gate-row").filter({ hasText: `Gate at ${gate}` });
    await row.getByRole("button", { name: `It is frame ${frame}` }).click();
    await row.getByRole("button", { name: new RegExp(`^frame ${frame}, `) }).waitFor(SOON);
  }
  await page.getByRole("button", { name: "Clip time disagrees" }).waitFor(SOON);
  await goToPlace(page, "Times");
  await page
    .getByText(/This may not be this trial's clip/)
    .first()
    .waitFor(SOON);
}

async function compare(page: Page): Promise<void> {
  await goToPlace(page, "Compare");
  // The run order is drawn: where one technique leads it is "faster", but not to be told from the order. By hand: 4.47 - 4.59 = -0.12, 4.68 - 4.88 = -0.20, 4.31 - 4.35 = -0.04; mean -0.12.
  await page.getByText(/open recovery was (ahead|faster) by 0\.12\ss/).waitFor(SOON);
  await page
    .getByText(
      /^Next: (let everybody skate each technique at least twice|skate it again with the order alternating)/,
    )
    .first()
    .waitFor(SOON);
}
