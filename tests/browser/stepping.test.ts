import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { describe, expect, it } from "vitest";
import type { ClipIndex } from "../../src/study/exchange.ts";
import type { Study } from "../../src/study/types.ts";
import { readPaintedNumber } from "../helpers/paintedClip.ts";
import { onPage, PATIENCE_MS, pictureState, untilExact } from "./measureWindow.ts";
import { type Noted, noteCanvas, noted } from "./noteCanvas.ts";
import {
  CLIP,
  LAST,
  leaveScale,
  openMeasure,
  paintedWindows,
  typeFrame,
  untilReady,
} from "./paintedStudy.ts";

const openStudy = paintedWindows();

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
    await openMeasure(page);
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
    await openMeasure(page);
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
    await openMeasure(page);
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
    await openMeasure(page);
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
    await openMeasure(page);
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
