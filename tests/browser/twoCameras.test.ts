import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join, relative } from "node:path";
import type { Page } from "playwright";
import { describe, expect, it, onTestFinished } from "vitest";
import type { Study } from "../../src/study/types.ts";
import { SAMPLE_CLIPS, truthOfClip } from "../demo/demoFiles.ts";
import { type ClockTruth, readClock } from "../helpers/clockReading.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { PATIENCE_MS, serveStudy, untilExact } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { goToPlace, openWindow, studyOnDisk } from "./wholeJobWindow.ts";

const SOON = { timeout: PATIENCE_MS };
const ARMS = join(SAMPLE_CLIPS, "arms-study");

const browser = testBrowser();

/** The evening about arms, of two trials; nobody has said yet that one of the clips shows the clock. */
function armsStudy(): string {
  const folder = join(temporaryFolder(), "arms");
  mkdirSync(join(folder, "marks"), { recursive: true });
  const study: Study = JSON.parse(readFileSync(join(ARMS, "study.json"), "utf8"));
  const trials = study.trials
    .filter(({ id }) => id === "aino-along-1" || id === "bea-along-1")
    .map((t) => ({
      ...t,
      clips: t.clips!.map(({ clip, role, id }) =>
        role === "clock" ? { clip, role: "look" as const } : { clip, role, id: id! },
      ),
    }));
  const used = new Set(trials.flatMap((t) => [t.clip, ...t.clips.map(({ clip }) => clip)]));
  const clips = study.clips
    .filter(({ id }) => used.has(id))
    .map((c) => ({ ...c, path: relative(folder, join(SAMPLE_CLIPS, "clips", c.name)) }));
  writeFileSync(join(folder, "study.json"), JSON.stringify({ ...study, trials, clips }));
  for (const id of ["aino-along-1", "aino-along-1-bench"])
    writeFileSync(join(folder, "marks", `${id}.json`), readFileSync(join(ARMS, "marks", `${id}.json`)));
  return folder;
}

describe("a trial filmed by two cameras, and its clock", () => {
  it("is looked at by either at the same moment; the display is read beside the typed time, which stays", async () => {
    const folder = armsStudy();
    const server = await serveStudy(folder);
    onTestFinished(() => server.close());
    const page = await openWindow(browser, server.url);
    await readTheClock(page, folder);
    await switchViews(page);
    await lookBeside(page);
  });
});

const CLOCK = "bea-along-1-clock";
const BEA = "Bea, arms along, trial 1";

async function readTheClock(page: Page, folder: string): Promise<void> {
  const truth: ClockTruth = JSON.parse(readFileSync(join(SAMPLE_CLIPS, "truth", `${CLOCK}.json`), "utf8"));
  await goToPlace(page, "Times");
  await page.getByLabel(`What ${CLOCK}.mp4 of ${BEA} is for`).selectOption("the clock");
  await page.getByRole("button", { name: `The clock of ${BEA}` }).click();
  const slider = page.getByLabel("Frame of the clock");
  await expect.poll(async () => Number(await slider.getAttribute("max")), SOON).toBe(truth.frames - 1);
  const frame = truth.first_still_frame + 20;
  await slider.fill(String(frame));
  // Read as an eye does, off the picture that is shown: it is the frame it says it is.
  await expect.poll(() => figuresShown(page, truth, frame), SOON).toBe(truth.stopped_s.toFixed(2));
  await page.getByLabel("The display shows, seconds").fill(truth.stopped_s.toFixed(2));
  await page.getByRole("button", { name: "Keep this frame" }).click();
  await page.getByText("The display shows 4.75, typed is 4.57. Which one is right?").waitFor(SOON);
  const own = () => studyOnDisk(folder).trials.find((t) => t.id === "bea-along-1")!;
  await expect
    .poll(() => own().clips?.find(({ clip }) => clip === CLOCK), SOON)
    .toEqual({ clip: CLOCK, role: "clock", frame, shows: 4.75 });
  expect(own().time).toBe(4.57);
  // The coach decides: typed anew, nothing is left to ask.
  const time = page.getByLabel(`Time of ${BEA}, seconds`);
  expect(await time.inputValue()).toBe("4.57");
  await time.fill("4.75");
  await time.press("Enter");
  await page.getByText("Which one is right?").waitFor({ state: "detached", timeout: PATIENCE_MS });
}

async function figuresShown(page: Page, truth: ClockTruth, frame: number): Promise<string> {
  const points = truth.figures.flatMap(({ bar_middles_px: bars }) => Object.values(bars));
  const bright: readonly number[] | null = await page
    .locator(`img.clock-frame[data-frame="${frame}"]`)
    .evaluate(
      async (img, asked) => {
        const picture = img as HTMLImageElement;
        await picture.decode().catch(() => undefined);
        if (picture.naturalWidth === 0) return null;
        const canvas = document.createElement("canvas");
        [canvas.width, canvas.height] = [picture.naturalWidth, picture.naturalHeight];
        const to = canvas.getContext("2d")!;
        to.drawImage(picture, 0, 0);
        return asked.map(([x, y]) =>
          Math.max(...to.getImageData(Math.round(x!), Math.round(y!), 1, 1).data.slice(0, 3)),
        );
      },
      points.map(([x, y]) => [x, y]),
    );
  if (!bright) return "";
  const known = new Map(points.map(([x, y], k) => [`${Math.round(x)} ${Math.round(y)}`, bright[k]!]));
  const text = readClock(truth, (x, y) => known.get(`${x} ${y}`)!);
  return text.includes(".") ? text : `${text[0]}.${text.slice(1)}`;
}

async function switchViews(page: Page): Promise<void> {
  const [front, bench] = ["aino-along-1", "aino-along-1-bench"].map(truthOfClip);
  const shared = front!.events.find(
    (e) =>
      e.event === "blade_off" &&
      bench!.events.some((b) => b.event === e.event && b.stride === e.stride && b.side === e.side),
  )!;
  const there = bench!.events.find((b) => b.event === "blade_off" && b.stride === shared.stride)!;
  await page.getByRole("button", { name: "aino-along-1.mp4", exact: true }).click(SOON);
  await page.getByTestId("frame-field").fill(String(shared.frame));
  await page.getByTestId("frame-field").press("Enter");
  await untilExact(page, shared.frame);
  await page.getByRole("button", { name: "View 2", exact: true }).click();
  await page.getByRole("heading", { level: 1, name: /Aino, arms along, trial 1, view 2/ }).waitFor(SOON);
  const shownFrame = async () => Number(await page.getByTestId("frame-field").inputValue());
  // The same push; each clip rounds to its own frames.
  await expect.poll(async () => Math.abs((await shownFrame()) - there.frame), SOON).toBeLessThanOrEqual(1);
  await page.getByRole("button", { name: "View 1", exact: true }).click();
  await expect.poll(async () => Math.abs((await shownFrame()) - shared.frame), SOON).toBeLessThanOrEqual(1);
}

/** The bench beside the front view at the same moment; and the clock, which nothing ties, running along from a chosen frame. */
async function lookBeside(page: Page): Promise<void> {
  const [front, bench] = ["aino-along-1", "aino-along-1-bench"].map(truthOfClip);
  const beside = page.getByRole("figure", { name: "View 2, beside" }).getByRole("img");
  const frameOf = async () => Number(await beside.getAttribute("data-frame"));
  await page.getByRole("button", { name: "View 2 beside" }).click();
  for (const { frame, stride } of front!.events.filter((e) => e.event === "blade_off").slice(1, 3)) {
    const there = bench!.events.find((b) => b.event === "blade_off" && b.stride === stride);
    if (!there) continue;
    await page.getByTestId("frame-field").fill(String(frame));
    await page.getByTestId("frame-field").press("Enter");
    await expect.poll(async () => Math.abs((await frameOf()) - there.frame), SOON).toBeLessThanOrEqual(1);
  }
  await page.getByRole("button", { name: "View 2 beside" }).click();
  await page.getByRole("button", { name: /^Trial \d+ of/ }).click();
  await page.getByRole("menuitem", { name: /Bea, arms along, trial 1/ }).click();
  await page.getByRole("button", { name: "the clock beside" }).click();
  const clock = page.getByRole("figure", { name: "the clock, beside" });
  const slider = clock.getByLabel("Frame of the clock");
  await slider.fill("40");
  const picture = clock.getByRole("img");
  await expect.poll(() => picture.getAttribute("data-frame"), SOON).toBe("40");
  // Both clips run on in real time: at their own rates.
  const own = Number(await page.getByTestId("frame-field").inputValue());
  const [a, b] = [truthOfClip("bea-along-1"), truthOfClip("bea-along-1-clock")];
  await page.getByTestId("frame-field").fill(String(own + 30));
  await page.getByTestId("frame-field").press("Enter");
  const along = 40 + Math.round((30 * b.fps_true) / a.fps_true);
  await expect
    .poll(async () => Math.abs(Number(await picture.getAttribute("data-frame")) - along), SOON)
    .toBeLessThanOrEqual(1);
}
