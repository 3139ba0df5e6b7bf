import { execFileSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { beforeAll, describe, expect, it, onTestFinished } from "vitest";
import type { Study } from "../../src/study/types.ts";
import { FFMPEG, H264, paintedClip } from "../helpers/paintedClip.ts";
import { STUDY, sharedFolder, studyFolder } from "../helpers/studyFolder.ts";
import { PATIENCE_MS, pictureState, serveStudy, untilExact } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";

/** 70 s at ten frames a second, a key frame a second: the frame at t seconds is number 10 t, and says so. */
const CLIP = { frames: 700, width: 640, height: 360, fps: 10 };

const browser = testBrowser();
const folder = sharedFolder();
let film = "";
beforeAll(async () => {
  film = await paintedClip({ ...CLIP, file: join(folder, "evening.mp4"), args: [...H264, "-g", "10"] });
});

async function openStudy(clip?: string) {
  const trials = STUDY.trials.map((t, i) => (i === 0 && clip ? { ...t, clip: "clip-0" } : t));
  const study = studyFolder({ ...STUDY, trials }, [], clip ? [clip] : []);
  const server = await serveStudy(study);
  onTestFinished(() => server.close());
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  onTestFinished(() => page.close());
  page.on("pageerror", (error) => {
    throw error;
  });
  await page.goto(server.url);
  await page.getByRole("button", { name: "Measure" }).click();
  return { page, study };
}

const add = (page: Page) => page.locator("input[type=file]").first().setInputFiles(film);
const onDisk = (study: string): Study => JSON.parse(readFileSync(join(study, "study.json"), "utf8"));

describe("a film of several trials", () => {
  it("is seen in pictures at once, cut by hand and by typing, and kept once", async () => {
    const { page, study } = await openStudy();
    await add(page);
    await page
      .getByRole("heading", { name: "This film lasts 1:10. Which part of it shows the trial?" })
      .waitFor();
    const strip = page.getByRole("application", { name: /The whole film/ });
    await strip.locator("img").nth(3).waitFor();
    if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/choose.png` });
    // Nothing was prepared for that.
    expect(await page.locator("[data-testid=picture]").count()).toBe(0);

    const box = (await strip.boundingBox())!;
    const at = (seconds: number) => box.x + (box.width * seconds) / 70;
    await page.mouse.move(at(41), box.y + 20);
    await page.mouse.down();
    await page.mouse.move(at(44), box.y + 20);
    await page.mouse.move(at(47), box.y + 20);
    await page.mouse.up();
    const from = page.getByLabel("From", { exact: true });
    expect(await from.inputValue()).toMatch(/^0:(40\.[89]|41)/);
    // The hand is made exact by typing.
    await from.fill("0:41");
    await page.getByLabel("To", { exact: true }).fill("46,9 s");
    await page.keyboard.press("Tab");
    await page.getByRole("button", { name: "Use this part" }).click();
    await untilExact(page, 410);
    expect((await pictureState(page)).painted).toBe(410);
    await page.keyboard.press("End");
    await untilExact(page, 469);
    expect((await pictureState(page)).painted).toBe(469);
    // The ribbon spans the part: its left end is the part's first frame.
    const ribbon = page.getByRole("slider", { name: /Stride ribbon/ });
    expect(await ribbon.getAttribute("aria-valuemin")).toBe("410");
    const wide = (await ribbon.boundingBox())!;
    await page.mouse.click(wide.x + 66, wide.y + wide.height / 2);
    await untilExact(page, 410);
    await page.getByRole("button", { name: "part: 0:41 to 0:46.9" }).waitFor();

    // The next trial takes another part of the same file.
    await page.getByRole("button", { name: "Next trial" }).click();
    await page.getByRole("button", { name: "Take another part of evening.mp4" }).click();
    await from.fill("50 s");
    await page.getByLabel("To", { exact: true }).fill("0:54");
    await page.keyboard.press("Tab");
    await page.getByText(/Cut so far: Aino, close recovery, trial 1 0:41 to 0:46.9/).waitFor();
    await page.getByRole("button", { name: "Use this part" }).click();
    await untilExact(page, 500);
    expect((await pictureState(page)).painted).toBe(500);
    await expect
      .poll(() => onDisk(study).clips.map((c) => c.part), { timeout: PATIENCE_MS })
      .toEqual([
        { first: 410, last: 469 },
        { first: 500, last: 540 },
      ]);
    expect(new Set(onDisk(study).clips.map((c) => c.path)).size).toBe(1);
    expect(readdirSync(join(study, "clips"))).toEqual(["evening.mp4"]);
    await page.getByRole("button", { name: "Times" }).click();
    await page.getByText("60 frames").waitFor();
    expect(await page.getByText(/same film/).count()).toBe(0);
  });
});

describe("a clip that stands on its head", () => {
  it("is turned by hand, with its own pictures, until something is marked on it", async () => {
    const file = join(folder, "head.mp4");
    const upright = join(folder, "upright.mp4");
    await paintedClip({ ...CLIP, frames: 30, file: upright, args: H264 });
    execFileSync(FFMPEG, ["-v", "error", "-y", "-i", upright, "-vf", "hflip,vflip", ...H264, file]);
    const { page, study } = await openStudy(file);
    await untilExact(page, 0);
    await expect(pictureState(page), "it stands on its head").rejects.toThrow(/turned/);
    await page.getByRole("button", { name: /frames\/s/ }).click();
    await page.getByRole("button", { name: "Upside down" }).click();
    await expect.poll(() => onDisk(study).clips[0]?.turn, { timeout: PATIENCE_MS }).toBe(180);
    await untilExact(page, 0);
    await expect
      .poll(
        () =>
          pictureState(page).then(
            (s) => s.painted,
            () => "turned",
          ),
        { timeout: PATIENCE_MS },
      )
      .toBe(0);
    // Where the last frame is, is known once the turned clip has been prepared; pressed before, End stays where it is.
    await expect
      .poll(
        async () => {
          await page.keyboard.press("End");
          return page.getByTestId("picture").getAttribute("data-wanted-frame");
        },
        { timeout: PATIENCE_MS },
      )
      .toBe("29");
    await untilExact(page, 29);
    expect((await pictureState(page)).painted).toBe(29);
  });
});
