import { existsSync, mkdirSync, mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, Page } from "playwright";
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from "vitest";
import type { ClipIndex } from "../../src/study/exchange.ts";
import type { Study, TrialMarks } from "../../src/study/types.ts";
import { H264, paintedClip, readPaintedNumber } from "../helpers/paintedClip.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { launchBrowser, onPage, PATIENCE_MS, pictureState, serveStudy, untilExact } from "./measureWindow.ts";
import { type Noted, noteCanvas, noted } from "./noteCanvas.ts";

/** No key frame but the first in 240, like a phone's; every frame carries its own number. */
const CLIP = { frames: 240, width: 640, height: 360, fps: 60 };
const LAST = CLIP.frames - 1;

let browser: Browser;
/** The clip's bytes: on disk, the host would find it again beside a changed one. */
let painted: Buffer;
beforeAll(async () => {
  browser = await launchBrowser();
  const folder = mkdtempSync(join(tmpdir(), "blademark-stepping-"));
  painted = readFileSync(
    await paintedClip({
      ...CLIP,
      file: join(folder, "painted.mp4"),
      args: [...H264, "-g", "240", "-bf", "2"],
    }),
  );
  rmSync(folder, { recursive: true });
});
afterAll(() => browser.close());

async function openStudy(change: (page: Page) => Promise<void> = async () => undefined) {
  const file = join(temporaryFolder(), "painted.mp4");
  writeFileSync(file, painted);
  const trials = STUDY.trials.map((t, i) => (i === 0 ? { ...t, clip: "clip-0" } : t));
  const folder = studyFolder({ ...STUDY, trials }, [], [file]);
  const server = await serveStudy(folder);
  onTestFinished(() => server.close());
  const open = async () => {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    onTestFinished(() => page.close());
    page.on("pageerror", (error) => {
      throw error;
    });
    await change(page);
    await page.goto(server.url);
    return page;
  };
  return { page: await open(), folder, file, open };
}

async function measure(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Measure" }).click();
  await page.waitForSelector("[data-testid=picture][data-shown-frame]", { timeout: PATIENCE_MS });
}

async function untilReady(page: Page): Promise<void> {
  await page.getByText(`to ${LAST}`, { exact: true }).waitFor({ timeout: PATIENCE_MS });
}

async function typeFrame(page: Page, frame: number): Promise<void> {
  await page.getByTestId("frame-field").fill(String(frame));
  await page.keyboard.press("Enter");
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
}

async function leaveScale(page: Page): Promise<void> {
  await page.getByRole("button", { name: "Leave the scale for now" }).click();
}

const studyOnDisk = (folder: string): Study => JSON.parse(readFileSync(join(folder, "study.json"), "utf8"));

/** Every picture the canvas came to hold has the number the window gave it. */
function allTrue(seen: readonly Noted[]): number[] {
  return seen.map(({ shown, data }) => {
    expect(readPaintedNumber(data, 24, 16)).toBe(shown);
    return shown;
  });
}

/** Changes what the host says of the clip, as long as `by` is given. */
async function tamper(
  page: Page,
  by: () => ((index: ClipIndex) => Partial<ClipIndex>) | null,
): Promise<void> {
  await page.route("**/index?*", async (route) => {
    const answer = await route.fetch();
    const index = (await answer.json()) as ClipIndex;
    await route.fulfill({ response: answer, json: { ...index, ...by()?.(index) } });
  });
}

/**
 * Runs in the page: taps keys, a few milliseconds apart. Through the driver a tap may take longer than it takes a key to
 * count as held, on a busy machine.
 */
async function mash(presses: readonly { readonly key: string; readonly shiftKey: boolean }[]): Promise<void> {
  for (const press of presses) {
    for (const type of ["keydown", "keyup"])
      document.body.dispatchEvent(new KeyboardEvent(type, { ...press, bubbles: true, cancelable: true }));
    await new Promise((done) => setTimeout(done, 5));
  }
}

describe("stepping", () => {
  it("never holds a wrong picture while the arrow keys are mashed both ways, and ends where the presses add up", async () => {
    const { page } = await openStudy();
    await measure(page);
    await untilReady(page);
    await typeFrame(page, 120);
    await untilExact(page, 120);
    await page.evaluate(noteCanvas);
    let at = 120;
    const ends = new Set([at]);
    // Now and then the picture may catch up; else a slow machine would show the last one only, and prove nothing.
    for (let burst = 0; burst < 24; burst++) {
      const presses = Array.from({ length: 10 }, (_, n) => {
        const i = 10 * burst + n;
        const back = i % 7 > 3 || i % 31 > 22;
        return { key: back ? "ArrowLeft" : "ArrowRight", shiftKey: i % 11 === 0 };
      });
      for (const { key, shiftKey } of presses) at += (key === "ArrowLeft" ? -1 : 1) * (shiftKey ? 10 : 1);
      await page.evaluate(mash, presses);
      await untilExact(page, at);
      ends.add(at);
    }
    const frames = allTrue(await page.evaluate(noted));
    expect(frames.at(-1)).toBe(at);
    expect([...ends].filter((end) => !frames.includes(end))).toEqual([]);
    expect(ends.size).toBeGreaterThan(15);
  });

  it("shows every frame in turn while a key is held, on and back, and stops when it is let go", async () => {
    const { page } = await openStudy();
    await measure(page);
    await untilReady(page);
    for (const [key, from, by] of [
      ["ArrowRight", 3, 1],
      ["ArrowLeft", LAST - 3, -1],
    ] as const) {
      await typeFrame(page, from);
      await untilExact(page, from);
      await page.evaluate(noteCanvas);
      await page.keyboard.down(key);
      // What a system sends while a key is down changes nothing. However slow the machine, it is held long enough.
      do {
        await page.waitForTimeout(50);
        await page.keyboard.down(key);
      } while ((await page.evaluate(noted)).length <= 20);
      await page.keyboard.up(key);
      const { wanted } = await pictureState(page);
      await untilExact(page, wanted);
      await page.waitForTimeout(200);
      const frames = allTrue(await page.evaluate(noted));
      expect(frames).toEqual(frames.map((_, i) => (frames[0] as number) + by * i));
      expect(frames.length).toBeGreaterThan(10);
      expect(frames.at(-1)).toBe(wanted);
    }
  });

  it("makes ready where one is about to go, while the number is typed and under the pointer on the ribbon", async () => {
    const { page } = await openStudy();
    await measure(page);
    await untilReady(page);
    await untilExact(page, 0);
    const asked = (n: number) => page.waitForRequest((request) => request.url().endsWith(`/frames/${n}`));
    let [request] = await Promise.all([asked(200), page.getByTestId("frame-field").fill("200")]);
    expect((await request.response())?.status()).toBe(200);
    expect(await pictureState(page)).toMatchObject({ wanted: 0, shown: 0 });
    await page.keyboard.press("Enter");
    await untilExact(page, 200);
    await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());

    // The ribbon's time axis begins 64 px from its left and ends 24 px before its right: a third of the clip is frame 80.
    const box = (await page.locator(".ribbon").boundingBox())!;
    const x = box.x + 64 + ((box.width - 64 - 24) * 80) / LAST;
    [request] = await Promise.all([asked(80), page.mouse.move(x, box.y + 60)]);
    expect((await request.response())?.status()).toBe(200);
    expect(await pictureState(page)).toMatchObject({ wanted: 200, shown: 200 });
    await page.mouse.down();
    await page.mouse.up();
    await untilExact(page, 80);
  });

  it("labels the nearest frame beyond the frontier and takes no mark until the exact one is there", async () => {
    let frontier = 60;
    const { page, folder } = await openStudy((p) =>
      tamper(p, () => (index) => {
        if (frontier === 0 || index.ready <= frontier) return {};
        const progress = { ...index.progress, done: frontier, of: CLIP.frames };
        const times = index.times.slice(0, frontier);
        return {
          state: "preparing",
          ready: frontier,
          times,
          ahead: [],
          countIsExact: true,
          count: 240,
          progress,
        };
      }),
    );
    await measure(page);
    await page.getByText(/Preparing clip: 60 of 240 frames/).waitFor();
    await leaveScale(page);
    await typeFrame(page, 150);
    await page.getByText(/Frame 150 .*; showing frame 59/).waitFor();
    await page.waitForSelector('[data-testid=picture][data-shown-frame="59"]');
    expect(await pictureState(page)).toEqual({ wanted: 150, shown: 59, painted: 59 });
    const { x, y } = await onPage(page, 300, 200);
    await page.mouse.click(x, y);
    await page.keyboard.press("Enter");
    await page
      .getByText(/is not on the screen yet/)
      .first()
      .waitFor();
    frontier = 0;
    await untilExact(page, 150);
    expect((await pictureState(page)).painted).toBe(150);
    await expect.poll(() => page.getByText(/; showing frame/).count(), { timeout: PATIENCE_MS }).toBe(0);
    expect(studyOnDisk(folder).trials[0]?.clip).toBe("clip-0");
  });

  it("says that a picture is doubtful and takes nothing on it", async () => {
    const { page } = await openStudy((p) => tamper(p, () => () => ({ doubtful: [[30, 33]] })));
    await measure(page);
    await untilReady(page);
    const label = page.getByText(/this picture may be put together from others/);
    for (const [frame, doubtful] of [
      [29, false],
      [30, true],
      [32, true],
      [33, false],
    ] as const) {
      await typeFrame(page, frame);
      await untilExact(page, frame);
      await expect.poll(() => label.count(), { timeout: PATIENCE_MS }).toBe(doubtful ? 1 : 0);
    }
    await leaveScale(page);
    await typeFrame(page, 31);
    await untilExact(page, 31);
    await page.keyboard.press("Enter");
    await page.getByText(/so nothing can be marked on it/).waitFor();
  });
});

/** Runs in the page before the app: pictures in all their pixels are kept back until `release`. */
function holdWhole(): void {
  const held: (() => void)[] = [];
  let holding = false;
  const Native = window.Worker;
  window.Worker = class extends Native {
    override set onmessage(hear: (event: MessageEvent) => void) {
      super.onmessage = (event) => {
        const give = () => hear.call(this, event);
        if (holding && event.data.whole) held.push(give);
        else give();
      };
    }
  };
  Object.assign(window, {
    holdWhole: (hold: boolean) => {
      holding = hold;
      if (!hold) for (const give of held.splice(0)) give();
    },
  });
}

describe("a large picture", () => {
  it("comes in fewer pixels first: the right frame in the right place, but nothing is put on it until all are there", async () => {
    const folder = temporaryFolder();
    const large = { frames: 60, width: 1920, height: 1080, fps: 60 };
    const file = await paintedClip({ ...large, file: join(folder, "large.mp4"), args: H264 });
    const trials = STUDY.trials.map((t, i) => (i === 0 ? { ...t, clip: "clip-0" } : t));
    const study = studyFolder({ ...STUDY, trials }, [], [file]);
    const server = await serveStudy(study);
    onTestFinished(() => server.close());
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    onTestFinished(() => page.close());
    await page.addInitScript(holdWhole);
    await page.goto(server.url);
    await measure(page);
    await page.getByText("to 59", { exact: true }).waitFor({ timeout: PATIENCE_MS });
    await leaveScale(page);
    const hold = (on: boolean) =>
      page.evaluate((h) => (window as unknown as { holdWhole(on: boolean): void }).holdWhole(h), on);
    await untilExact(page, 0);
    // From frame 0 the ring of 30 reaches nowhere near it.
    await hold(true);
    await typeFrame(page, 59);
    await page.waitForSelector('[data-testid=picture][data-shown-frame="59"]:not([data-whole-frame])');
    // Read at the places where the whole picture has its squares.
    expect(await pictureState(page)).toEqual({ wanted: 59, shown: 59, painted: 59 });
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { name: "Left blade, heel end" }).waitFor();
    const { x, y } = await onPage(page, 1400, 300);
    await page.mouse.click(x, y);
    await page
      .getByText(/is not on the screen yet/)
      .first()
      .waitFor();
    await hold(false);
    await untilExact(page, 59);
    expect(await pictureState(page)).toEqual({ wanted: 59, shown: 59, painted: 59 });
    await page.mouse.click(x, y);
    await page.getByRole("heading", { name: "Left blade, toe end" }).waitFor();
    const marks = (): TrialMarks["marks"] =>
      JSON.parse(readFileSync(join(study, "marks", `${STUDY.trials[0]?.id}.json`), "utf8")).marks;
    await expect
      .poll(() => existsSync(join(study, "marks")) && marks().length, { timeout: PATIENCE_MS })
      .toBe(1);
    // A press on a whole screen pixel, under two of the picture's.
    expect(Math.hypot(marks()[0]!.xPx - 1400, marks()[0]!.yPx - 300)).toBeLessThan(2);
  });
});

describe("leaving and coming back", () => {
  it("remembers the frame one left in the same moment", async () => {
    const { page, open } = await openStudy();
    await measure(page);
    await untilReady(page);
    await typeFrame(page, 150);
    await page.keyboard.press("ArrowRight");
    await page.goto("about:blank");
    const again = await open();
    await untilExact(again, 151);
  });
});

describe("the clip's file", () => {
  it("is found at another place and kept there", async () => {
    const { page, folder, file, open } = await openStudy();
    await measure(page);
    await untilReady(page);
    await page.close();
    mkdirSync(join(folder, "clips"), { recursive: true });
    renameSync(file, join(folder, "clips", "from the phone.mp4"));
    const again = await open();
    await again.getByRole("button", { name: "Keep the new place" }).click();
    await expect
      .poll(() => studyOnDisk(folder).clips[0]?.path, { timeout: PATIENCE_MS })
      .toBe("clips/from the phone.mp4");
    await again.getByRole("button", { name: "Keep the new place" }).waitFor({ state: "detached" });
  });

  it("is not used when it has changed, until a person says so", async () => {
    const { page, folder, file, open } = await openStudy();
    await measure(page);
    await untilReady(page);
    await page.close();
    const before = studyOnDisk(folder).clips[0]?.sha256;
    await paintedClip({ ...CLIP, file, from: 1000, args: [...H264, "-g", "240"] });
    const again = await open();
    await again.getByRole("button", { name: /^Use this file/ }).click();
    await again.getByRole("button", { name: "It shows the same, use it" }).click();
    await again.getByText(`to ${LAST}`, { exact: true }).waitFor({ timeout: PATIENCE_MS });
    await typeFrame(again, 7);
    await untilExact(again, 7);
    expect((await pictureState(again)).painted).toBe(1007);
    await expect.poll(() => studyOnDisk(folder).clips[0]?.sha256, { timeout: PATIENCE_MS }).not.toBe(before);
  });
});

describe("the part of a clip that matters", () => {
  it("is chosen, prepared, stepped in with the whole clip's numbers, and taken away", async () => {
    const { page, folder } = await openStudy();
    await measure(page);
    await untilReady(page);
    await page.getByRole("button", { name: "whole clip", exact: true }).click();
    await page.getByLabel("First frame").fill("100");
    await page.getByLabel("Last frame").fill("140");
    await page.getByRole("button", { name: "Keep this part" }).click();
    await page.getByLabel("First frame").waitFor({ state: "detached" });
    await page.getByText("to 140", { exact: true }).waitFor();
    await untilExact(page, 100);
    expect((await pictureState(page)).painted).toBe(100);
    await page.keyboard.press("ArrowLeft");
    await page.keyboard.press("End");
    await untilExact(page, 140);
    expect((await pictureState(page)).painted).toBe(140);
    await expect
      .poll(() => studyOnDisk(folder).clips[0]?.part, { timeout: PATIENCE_MS })
      .toEqual({ first: 100, last: 140 });
    await page.getByRole("button", { name: "part: 100 to 140" }).click();
    await page.getByRole("button", { name: "Whole clip", exact: true }).last().click();
    await page.getByLabel("First frame").waitFor({ state: "detached" });
    await untilReady(page);
    await page.keyboard.press("Home");
    await untilExact(page, 0);
  });
});
