import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { describe, expect, it, onTestFinished } from "vitest";
import { createStudy } from "../../electron/vault/createStudy.ts";
import { seeded } from "../../sample-clips/make/random.ts";
import type { PointName, Side, TrialMarks } from "../../src/study/types.ts";
import { SAMPLE_CLIPS, type TruthEvent, truthOfClip } from "../demo/demoFiles.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { PATIENCE_MS, serveStudy, untilExact } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { goToPlace, openWindow, putPoint, studyOnDisk } from "./wholeJobWindow.ts";
import { whatIsAsked } from "./worker.ts";

const SOON = { timeout: PATIENCE_MS };

/** Asked to swing across, and hardly did: what its clip shows is in the truth beside it (sample-clips/README.md). */
const CLIP = "signe-across-1";
const ROW = "Signe, arms across, trial 1";
const TRUTH = truthOfClip(CLIP);

/** Typed as a coach reads them off: seconds. */
const TIMES: Readonly<Record<string, string>> = {
  "Aino, arms along, trial 1": "4.43",
  "Aino, arms across, trial 1": "4.50",
  "Bea, arms along, trial 1": "4.75",
  "Bea, arms across, trial 1": "4.77",
  "Signe, arms along, trial 1": "4.34",
  "Signe, arms across, trial 1": "4.30",
};
/** By tape, m: sample-clips/arms-study/study.json. */
const SIGNE = { "Hip height": "0.77", "Upper arm": "0.321", Forearm: "0.251" };

/** Four pushes in the middle of the lane, the arms of the two inner ones: both arms turn back at each blade-off. */
const [FIRST, LAST] = [7, 10];
const WANTED = TRUTH.events.filter(
  ({ event, stride }) =>
    (event === "blade_off" && stride >= FIRST && stride <= LAST) ||
    (event.startsWith("arm") && stride >= FIRST && stride < LAST),
);

/** A hand as unsteady as the study allows for: SD 1.5 px in each coordinate. */
const hand = seeded("hand in the study about arms");
const shaky = (px: number) => px + 1.5 * hand.normal();

const browser = testBrowser();

describe("an evening about arms, from an empty study", () => {
  it("is planned, timed, marked on a clip, and tells who did not swing as asked", async () => {
    const folder = join(temporaryFolder(), "arms");
    await createStudy(folder);
    const server = await serveStudy(folder);
    onTestFinished(() => server.close());
    const page = await openWindow(browser, server.url);

    await plan(page);
    await typeTimes(page, folder);
    await attachClip(page);
    await setScale(page);
    await markWhatIsAsked(page);
    await expect.poll(() => eventsOnDisk(folder), SOON).toEqual(WANTED.map(eventName).sort());
    await expectArmsHoldTruth(page);
    await expectTold(page);
  });
});

async function plan(page: Page): Promise<void> {
  await goToPlace(page, "Plan");
  await commit(page, "Question", "Arms along or arms across: which is faster?");
  await commit(page, "Distance", "30 m");
  await commit(page, "Gates", "0 m; 30 m");
  for (const name of ["Aino", "Bea", "Signe"]) await add(page, "New skater's name", name);
  for (const [part, length] of Object.entries(SIGNE)) await commit(page, `${part} of Signe`, length);
  await add(page, "New technique's name", "arms along");
  await band(page, "arms along", "Upper", "30");
  await add(page, "New technique's name", "arms across");
  await band(page, "arms across", "Lower", "45");
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

/** Asks a technique for arms swung in a direction, by one edge, degrees. */
async function band(page: Page, technique: string, edge: "Lower" | "Upper", degrees: string): Promise<void> {
  const own = page.locator(".technique", { has: page.getByLabel(`Name of ${technique}`) });
  await own.getByRole("button", { name: "Add a band" }).click();
  await own.getByLabel(`Quantity of a band of ${technique}`).selectOption("Arm-swing direction");
  const field = own.getByRole("textbox", { name: new RegExp(`^${edge} edge`) });
  await field.fill(degrees);
  await field.press("Enter");
}

/** In run order, each time and Enter. */
async function typeTimes(page: Page, folder: string): Promise<void> {
  await goToPlace(page, "Times");
  await expect.poll(() => studyOnDisk(folder).trials.length, SOON).toBe(Object.keys(TIMES).length);
  const { trials, skaters, techniques } = studyOnDisk(folder);
  const rows = [...trials]
    .sort((a, b) => a.order - b.order)
    .map((t) => {
      const who = skaters.find((s) => s.id === t.skater)?.name;
      const how = techniques.find((x) => x.id === t.technique)?.name;
      return `${who}, ${how}, trial ${t.repeat}`;
    });
  await page.getByLabel(`Time of ${rows[0]}, seconds`).click();
  for (const row of rows) {
    await page.keyboard.type(TIMES[row] as string);
    await page.keyboard.press("Enter");
  }
  const typed = () => studyOnDisk(folder).trials.map((t) => t.time?.toFixed(2));
  await expect.poll(() => typed().sort(), SOON).toEqual(Object.values(TIMES).sort());
}

async function attachClip(page: Page): Promise<void> {
  const chooser = page.waitForEvent("filechooser");
  const cell = page.locator("td", { has: page.getByLabel(`Clip of ${ROW}`) });
  await cell.getByRole("button", { name: "Add clip" }).click();
  await (await chooser).setFiles(join(SAMPLE_CLIPS, "clips", `${CLIP}.mp4`));
  await page.getByRole("button", { name: `${CLIP}.mp4` }).click(SOON);
  await page.getByRole("heading", { level: 1, name: /Signe/ }).waitFor();
  await page.getByText(`to ${TRUTH.frames - 1}`, { exact: true }).waitFor(SOON);
  await untilExact(page, 0);
}

/** Ten of the sixteen crosses: x = 1, 8 ... 29 m, 1.5 m to each side. */
async function setScale(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Own places" }).click();
  for (const [label, text] of Object.entries({ from: "1", to: "29", every: "7" })) {
    await page.getByLabel(label, { exact: true }).fill(text);
  }
  await page.getByRole("button", { name: "List these pairs" }).click();
  for (const x of [1, 8, 15, 22, 29]) {
    for (const [side, y] of [
      ["left", 1.5],
      ["right", -1.5],
    ] as const) {
      await page.getByRole("heading", { name: `Ice point: ${x} m ${side}`, exact: true }).waitFor();
      const { x_px, y_px } = TRUTH.ice_points.find((p) => p.x_m === x && p.y_m === y)!;
      await putPoint(page, shaky(x_px), shaky(y_px));
    }
  }
  await page.getByRole("button", { name: /^Ice: 10 points, fit/ }).waitFor();
  await page.getByRole("button", { name: "Scale is done: mark strides" }).click();
}

async function goToFrame(page: Page, frame: number): Promise<void> {
  await page.getByTestId("frame-field").fill(String(frame));
  await page.getByTestId("frame-field").press("Enter");
  await page.getByTestId("frame-field").blur();
  await untilExact(page, frame);
}

const POINTS: readonly (readonly [RegExp, PointName])[] = [
  [/blade, heel end/i, "blade_heel"],
  [/blade, toe end/i, "blade_toe"],
  [/shoulder$/i, "shoulder"],
  [/elbow$/i, "elbow"],
  [/wrist$/i, "wrist"],
];

/** Does what the window asks for, point by point, until it asks for something of another push. */
async function markWhatIsAsked(page: Page): Promise<void> {
  // The bands are about arms, so nobody has to say that arms are to be marked.
  expect(await page.getByRole("combobox", { name: "What to mark" }).inputValue()).toBe("Arm swings");
  const done = new Set<TruthEvent>();
  for (let before = ""; ; ) {
    const asked = await whatIsAsked(page, before);
    before = asked.state;
    const { title, frame } = asked;
    const side: Side = /^left|the left/i.test(title) ? "left" : "right";
    const point = POINTS.find(([words]) => words.test(title))?.[1];
    if (title.startsWith("Is the ")) {
      const arm = WANTED.find((e) => e.event.startsWith("arm") && e.side === side && e.frame === frame)!;
      const nearer = title.includes("elbow nearer") ? arm.elbow_toward_camera : arm.wrist_toward_camera;
      await page.getByRole("button", { name: nearer ? "Yes, nearer" : "No, farther" }).click();
    } else if (point) {
      const { points } = WANTED.find((e) => e.frame === frame)!;
      const at = points.find((p) => p.point === point && p.side === side)!;
      await putPoint(page, shaky(at.x_px), shaky(at.y_px));
    } else {
      const event = /arm front/i.test(title) ? "arm_front" : "blade_off";
      const next = WANTED.find((e) => !done.has(e) && e.event === event && e.side === side);
      if (!next) return;
      done.add(next);
      await goToFrame(page, next.frame);
      await page.getByRole("button", { name: "This is the frame" }).click();
    }
  }
}

const eventName = (e: { event: string; side: string; frame: number }) => `${e.event} ${e.side} ${e.frame}`;

function eventsOnDisk(folder: string): string[] {
  const { id } = studyOnDisk(folder).trials.find((t) => t.clip !== undefined)!;
  const { events }: TrialMarks = JSON.parse(readFileSync(join(folder, "marks", `${id}.json`), "utf8"));
  return events.map(eventName).sort();
}

/** Direction and angle of both arms in the two inner pushes, read off the page. */
async function expectArmsHoldTruth(page: Page): Promise<void> {
  for (let stride = FIRST + 1; stride < LAST; stride++) {
    const truth = TRUTH.strides.find((s) => s.stride === stride)!;
    await goToFrame(page, WANTED.find((e) => e.event === "blade_off" && e.stride === stride)!.frame);
    const panel = page.getByRole("region", { name: `Numbers of stride ${stride - FIRST + 1}` });
    for (const [name, key] of [
      ["Arm-swing direction", "direction_deg"],
      ["Arm-swing angle", "angle_deg"],
    ] as const) {
      const text = (await panel.getByRole("row", { name: new RegExp(`^${name}`) }).textContent()) ?? "";
      for (const side of ["left", "right"] as const) {
        const [, shown, u95] = new RegExp(`${side}\\s*([\\d.]+)°\\s±\\s([\\d.]+)°`).exec(text) ?? [];
        const exact = truth.arm_swing[side]!.at_event[key];
        expect(
          Math.abs(Number(shown) - exact),
          `${name}, ${side}, push ${stride}: ${text}`,
        ).toBeLessThanOrEqual(Number(u95));
        expect(Number(u95)).toBeLessThan(45);
      }
    }
  }
}

/** By the chip beside the trial's name, and where the techniques are compared. */
async function expectTold(page: Page): Promise<void> {
  await page.getByText("As asked: no").waitFor(SOON);
  await goToPlace(page, "Compare");
  await page.getByText(/One trial was not as asked/).waitFor(SOON);
}
