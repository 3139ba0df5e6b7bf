import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { expect } from "vitest";
import type { TrialMarks } from "../../src/study/types.ts";
import { STUDY } from "../helpers/studyFolder.ts";
import { PATIENCE_MS, untilExact } from "./measureWindow.ts";

/** What the painted clip of these tests holds. */
export const LAST = 119;
/** Where the blades leave the ice. */
export const LEFT = 30;
export const RIGHT = 60;
/** Between both, few keys from the first frame: an event is asked for here, and the rhythm suggests another frame. */
const BETWEEN = 40;
/** Where an arm is in front. */
export const ARM = 45;

const SOON = { timeout: PATIENCE_MS };

/** A key, and that it does what it is there for. All is as before afterwards, but for the frame and how it is looked at. */
export type LivingKey = readonly [key: string, works: (page: Page, folder: string) => Promise<void>];

const wanted = async (page: Page) =>
  Number(await page.getByTestId("picture").getAttribute("data-wanted-frame"));
const isPressed = (page: Page, name: string) =>
  page.getByRole("button", { name }).getAttribute("aria-pressed");
const untilWanted = (page: Page, frame: number) => expect.poll(() => wanted(page), SOON).toBe(frame);
const question = (page: Page) =>
  page.getByRole("region", { name: "What to do next" }).getByRole("heading").textContent();

/** By keys alone. */
async function goTo(page: Page, frame: number): Promise<void> {
  await page.keyboard.press("Home");
  await untilWanted(page, 0);
  for (let i = 0; i < Math.floor(frame / 10); i++) await page.keyboard.press("Shift+ArrowRight");
  for (let i = 0; i < frame % 10; i++) await page.keyboard.press("ArrowRight");
  await untilWanted(page, frame);
}

/** The key changes what is asked for, and that can be taken back. */
async function changesQuestion(page: Page, frame: number, key: string, back: string): Promise<void> {
  await goTo(page, frame);
  await untilExact(page, frame);
  const before = await question(page);
  await page.keyboard.press(key);
  await expect.poll(() => question(page), SOON).not.toBe(before);
  await page.keyboard.press(back);
  await expect.poll(() => question(page), SOON).toBe(before);
}

/** The keys of Measure while strides are marked. */
export const KEYS: readonly LivingKey[] = [
  [
    "arrows",
    async (page) => {
      const from = await wanted(page);
      await page.keyboard.press(from === LAST ? "ArrowLeft" : "ArrowRight");
      await untilWanted(page, from === LAST ? from - 1 : from + 1);
    },
  ],
  [
    "End and Home",
    async (page) => {
      await page.keyboard.press("End");
      await untilWanted(page, LAST);
      await page.keyboard.press("Home");
      await untilWanted(page, 0);
    },
  ],
  [
    "event before and after",
    async (page) => {
      await goTo(page, BETWEEN);
      await page.keyboard.press(".");
      await untilWanted(page, RIGHT);
      await page.keyboard.press(",");
      await untilWanted(page, LEFT);
    },
  ],
  ["Enter", (page) => changesQuestion(page, BETWEEN, "Enter", "Control+z")],
  ["S", (page) => changesQuestion(page, BETWEEN, "s", "Escape")],
  ["N", (page) => changesQuestion(page, LEFT, "n", "Control+z")],
  [
    "G",
    async (page) => {
      await goTo(page, BETWEEN);
      await page.keyboard.press("g");
      await expect.poll(() => wanted(page), SOON).not.toBe(BETWEEN);
    },
  ],
  [
    "+ and 0",
    async (page) => {
      const view = () => page.getByTestId("picture").getAttribute("data-view");
      await page.keyboard.press("0");
      await expect.poll(() => page.getByRole("button", { name: "Zoom out" }).isDisabled(), SOON).toBe(true);
      const whole = await view();
      await page.keyboard.press("+");
      await expect.poll(view, SOON).not.toBe(whole);
      await page.keyboard.press("0");
      await expect.poll(view, SOON).toBe(whole);
    },
  ],
  [
    "P",
    async (page) => {
      await page.keyboard.press("Home");
      await page.keyboard.press("p");
      await page.getByRole("button", { name: "Pause" }).waitFor(SOON);
      await page.keyboard.press("P");
      await page.getByRole("button", { name: "Play", exact: true }).waitFor(SOON);
    },
  ],
  [
    "C, with Caps Lock on",
    async (page) => {
      await goTo(page, LEFT);
      await untilExact(page, LEFT);
      await page.keyboard.press("C");
      await page.getByText("Enter puts the point, C ends.").waitFor(SOON);
      await page.keyboard.press("C");
      await page.getByText("Enter puts the point, C ends.").waitFor({ ...SOON, state: "detached" });
    },
  ],
  [
    "?",
    async (page) => {
      await page.keyboard.press("?");
      await page.getByRole("dialog").waitFor();
      await page.keyboard.press("Escape");
      await page.getByRole("dialog").waitFor({ state: "detached" });
    },
  ],
  [
    "Backspace",
    // The heel is marked and the toe asked for.
    (page) => changesQuestion(page, LEFT, "Backspace", "Escape"),
  ],
  [
    "X, Alt with arrows, Delete",
    async (page, folder) => {
      await goTo(page, LEFT);
      await untilExact(page, LEFT);
      const [before, [heel]] = [await question(page), marksOnDisk(folder)];
      if (!heel) throw new Error("there is no mark to select");
      await page.keyboard.press("x");
      await page.keyboard.press("Alt+Shift+ArrowRight");
      await page.keyboard.press("Alt+ArrowUp");
      const place = () => marksOnDisk(folder).map(({ xPx, yPx }) => [xPx, yPx]);
      await expect.poll(place, SOON).toEqual([[heel.xPx + 1, expect.closeTo(heel.yPx - 0.1, 6)]]);
      await page.keyboard.press("Delete");
      await expect.poll(() => question(page), SOON).not.toBe(before);
      for (let i = 0; i < 3; i++) await page.keyboard.press("Control+z");
      await expect.poll(place, SOON).toEqual([[heel.xPx, heel.yPx]]);
    },
  ],
  [
    "V",
    async (page) => {
      const speed = () => page.locator("button.pace").textContent();
      const before = await speed();
      await page.keyboard.press("v");
      await expect.poll(speed, SOON).not.toBe(before);
    },
  ],
  [
    "O",
    async (page) => {
      const name = "One stride over and over";
      const before = await isPressed(page, name);
      await page.keyboard.press("o");
      await expect.poll(() => isPressed(page, name), SOON).not.toBe(before);
      await page.keyboard.press("o");
      await expect.poll(() => isPressed(page, name), SOON).toBe(before);
    },
  ],
  [
    "L",
    async (page) => {
      await goTo(page, LEFT);
      await page.keyboard.press("0");
      await untilExact(page, LEFT);
      // What was drawn before may be drawn anew meanwhile, on a busy machine: then once more.
      for (let again = 2; ; again--) {
        const before = await drawn(page);
        await page.keyboard.press("l");
        await expect.poll(() => drawn(page), SOON).not.toBe(before);
        await page.keyboard.press("l");
        try {
          await expect.poll(() => drawn(page), { timeout: 20_000 }).toBe(before);
          return;
        } catch (error) {
          if (again === 0) throw error;
        }
      }
    },
  ],
  [
    "M",
    async (page) => {
      // Pressed first, looked at after: a look takes the focus too.
      await page.keyboard.press("m");
      const on = await gridIsOn(page);
      await page.keyboard.press("m");
      expect(await gridIsOn(page)).toBe(!on);
      expect(on, "the first of both").toBe(true);
    },
  ],
  ["Page Down and Page Up", toNextTrialAndBack],
];

/** Yes, no and can't tell, where an arm is asked about. */
export const ANSWERS: readonly LivingKey[] = [
  ["Y", (page) => changesQuestion(page, ARM, "y", "Control+z")],
  ["N, where no is the answer", (page) => changesQuestion(page, ARM, "n", "Control+z")],
  [
    "T",
    async (page) => {
      await goTo(page, ARM);
      await untilExact(page, ARM);
      const before = await question(page);
      await page.keyboard.press("t");
      await expect.poll(() => question(page), SOON).not.toBe(before);
      // What was left open is asked again when the trial is opened again.
      await toNextTrialAndBack(page);
      await goTo(page, ARM);
      await expect.poll(() => question(page), SOON).toBe(before);
    },
  ],
];

async function toNextTrialAndBack(page: Page): Promise<void> {
  const isFirst = () => page.getByRole("button", { name: "Trial before" }).isDisabled();
  await page.keyboard.press("PageDown");
  await expect.poll(isFirst, SOON).toBe(false);
  await page.keyboard.press("PageUp");
  await expect.poll(isFirst, SOON).toBe(true);
  await page.locator("[data-testid=picture][data-wanted-frame]").waitFor(SOON);
}

async function gridIsOn(page: Page): Promise<boolean> {
  await page.getByRole("button", { name: /^Ice: / }).click();
  const on = await page.getByRole("checkbox", { name: "Metre grid on the ice" }).isChecked();
  await page.getByRole("button", { name: "Leave the scale for now" }).click();
  return on;
}

/** All that the picture's canvases hold. */
function drawn(page: Page): Promise<string> {
  const canvases = page.locator("[data-testid=picture] canvas");
  return canvases.evaluateAll((all) => all.map((c) => (c as HTMLCanvasElement).toDataURL()).join());
}

function marksOnDisk(folder: string): TrialMarks["marks"] {
  const file = join(folder, "marks", `${STUDY.trials[0]?.id}.json`);
  return (JSON.parse(readFileSync(file, "utf8")) as TrialMarks).marks;
}
