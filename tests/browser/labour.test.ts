import { cpSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Browser, Page } from "playwright";
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from "vitest";
import type { Study, TrialMarks } from "../../src/study/types.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { launchBrowser, PATIENCE_MS, serveStudy } from "./measureWindow.ts";
import { CLIP_FILE, marksOnDisk, openWindow, PICTURE, TRIAL, TRUTH } from "./wholeJobWindow.ts";
import { goBy, type Labour, placeIn, work } from "./worker.ts";

const SAMPLES = join(import.meta.dirname, "../../sample-clips");
const SOON = { timeout: PATIENCE_MS };
/** Six pushes of the clip nobody has marked. */
const STRIDES = [3, 4, 5, 6, 7, 8];

let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser.close());

/**
 * Presses and keys a stride, by the same worker. Before: one press a point, both blades at each blade-off, hips on every
 * frame, arms picked one by one and asked four questions a stride; blades and hips, and arms, were two rounds.
 */
const BEFORE = {
  width: { presses: 6, keys: 2.7 },
  everything: { presses: 24, keys: 13.1 },
};
const WANTED = {
  width: { presses: 4, keys: 3 },
  everything: { presses: 12, keys: 8 },
};

describe("the labour of marking, nothing suggested in the picture", () => {
  it.each(["width", "everything"] as const)("is what was wanted for %s", async (depth) => {
    const { page, folder } = await openDemo();
    await choose(page, depth === "width" ? "Width and touchdown" : "Everything");
    await goBy(page, (name) => page.keyboard.press(name), FIRST_OFF.frame);
    const done = await work(page, STRIDES);
    const a = (n: number) => n / STRIDES.length;
    const labour: Labour = { presses: a(done.presses), keys: a(done.keys) };
    const row = ({ presses, keys }: Labour) => `${presses.toFixed(1)} presses + ${keys.toFixed(1)} keys`;
    console.log(
      `a stride, ${depth}: before ${row(BEFORE[depth])}; now ${row(labour)}; at most ${row(WANTED[depth])}`,
    );
    expect(labour.presses).toBeLessThanOrEqual(WANTED[depth].presses);
    expect(labour.keys).toBeLessThanOrEqual(WANTED[depth].keys);

    // Nothing was left out for it: every event is there, and every mark lies where the world has that point.
    const wanted = TRUTH.events.filter(
      (e) => STRIDES.includes(e.stride) && (depth === "everything" || /^blade/.test(e.event)),
    );
    await expect.poll(() => marksOnDisk(folder).events.length, SOON).toBeGreaterThanOrEqual(wanted.length);
    const { events, marks } = marksOnDisk(folder);
    const name = (e: { event: string; side: string; frame: number }) => `${e.event} ${e.side} ${e.frame}`;
    for (const e of wanted.filter((w) => w.event !== "recovery_min"))
      expect(events.map(name)).toContain(name(e));
    // Nearest the midline is placed by itself: one a recovery.
    for (const side of ["left", "right"] as const) {
      const nearest = (all: readonly { event: string; side: string }[]) =>
        all.filter((e) => e.event === "recovery_min" && e.side === side).length;
      expect(nearest(events), side).toBeGreaterThanOrEqual(nearest(wanted));
    }
    const put = marks.map((m) => `${m.frame} ${m.point} ${m.side}`);
    for (const { event, side, frame } of wanted.filter((w) => w.event !== "recovery_min")) {
      const points = event.startsWith("blade") ? ["blade_heel", "blade_toe"] : ["shoulder", "elbow", "wrist"];
      for (const point of points) expect(put).toContain(`${frame} ${point} ${side}`);
    }
    for (const mark of marks) {
      const { xPx, yPx } = placeIn(mark.frame, mark.side, mark.point);
      // Half a pixel of the screen each way, at 0.5 and more of them a picture pixel.
      expect(Math.hypot(mark.xPx - xPx, mark.yPx - yPx), JSON.stringify(mark)).toBeLessThan(1.45);
    }
  });
});

const FIRST_OFF = TRUTH.events.find((e) => e.event === "blade_off" && e.stride === STRIDES[0])!;

async function choose(page: Page, name: string): Promise<void> {
  await page.getByRole("combobox", { name: "What to mark" }).click();
  await page.getByRole("option", { name }).click();
  await page.getByTestId("picture").focus();
}

/** The demo study; of Signe's open recovery, trial 1, only the scale is set. */
async function openDemo(): Promise<{ page: Page; folder: string }> {
  const folder = join(temporaryFolder(), "study");
  mkdirSync(join(folder, "clips"), { recursive: true });
  cpSync(join(SAMPLES, "demo-study/marks"), join(folder, "marks"), { recursive: true });
  cpSync(CLIP_FILE, join(folder, "clips", `${TRIAL}.mp4`));
  const study: Study = JSON.parse(readFileSync(join(SAMPLES, "demo-study/study.json"), "utf8"));
  const trials = study.trials.map(({ clip, ...trial }) =>
    trial.id === TRIAL ? { ...trial, clip: TRIAL } : trial,
  );
  const clips = study.clips.filter((c) => c.id === TRIAL).map((c) => ({ ...c, path: `clips/${TRIAL}.mp4` }));
  writeFileSync(join(folder, "study.json"), JSON.stringify({ ...study, trials, clips }));
  writeFileSync(join(folder, "marks", `${TRIAL}.json`), JSON.stringify(scaleOnly()));
  const server = await serveStudy(folder);
  onTestFinished(() => server.close());
  const page = await openWindow(browser, server.url);
  await page.getByRole("button", { name: /^Measure/ }).click();
  await page.getByRole("button", { name: /^Trial \d+ of/ }).click();
  await page.getByRole("menuitem", { name: /Signe, open recovery, trial 1/ }).click();
  await page.getByText("to 331", { exact: true }).waitFor({ timeout: PATIENCE_MS });
  return { page, folder };
}

function scaleOnly(): TrialMarks {
  return {
    format: "blademark.marks",
    version: 1,
    trial: TRIAL,
    picture: { clip: TRIAL, ...PICTURE, frameInterval: 1 / 60 },
    iceReference: {
      kind: "ice-points",
      points: TRUTH.ice_points.map(({ x_m, y_m, x_px, y_px }, i) => ({
        label: `P${i + 1}`,
        xPx: x_px,
        yPx: y_px,
        x: x_m,
        y: y_m,
      })),
    },
    events: [],
    marks: [],
  };
}
