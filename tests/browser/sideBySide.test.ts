import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { beforeAll, describe, expect, it, onTestFinished } from "vitest";
import { FILM, pictureAreas } from "../../src/report/film/layout.ts";
import type { Study } from "../../src/study/types.ts";
import { readPaintedNumber } from "../helpers/paintedClip.ts";
import { A, B, PAIR_SIZE, pairOfClips, pairStudy } from "../helpers/paintedPair.ts";
import { sharedFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { PATIENCE_MS, serveStudy } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";

const browser = testBrowser();
const folder = sharedFolder();
let files: string[] = [];
beforeAll(async () => {
  files = await pairOfClips(folder);
});

async function openFilm(change: (study: Study) => unknown = (study) => study): Promise<Page> {
  const at = pairStudy(files);
  const file = join(at, "study.json");
  writeFileSync(file, JSON.stringify(change(JSON.parse(readFileSync(file, "utf8")) as Study)));
  const server = await serveStudy(at);
  onTestFinished(() => server.close());
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  onTestFinished(() => page.close());
  page.on("pageerror", (error) => {
    throw error;
  });
  await page.goto(server.url);
  await page.getByRole("button", { name: "Compare" }).click();
  await page.getByRole("button", { name: "Side by side" }).click();
  await page.getByRole("dialog", { name: "Side by side" }).waitFor();
  await page.getByTestId("film").waitFor({ timeout: PATIENCE_MS });
  return page;
}

const AREAS = pictureAreas(2).map(({ x, y, width, height }) => {
  const high = (width * PAIR_SIZE.height) / PAIR_SIZE.width;
  return { x, y: y + (height - high) / 2, width, height: high };
});
/** Ten pixels a painted square. */
const SIZE = { width: 60, height: 40 };

/** What the window says it shows and what its canvas holds, taken in one go. */
async function held(page: Page) {
  const { wanted, shown, parts } = await page.evaluate(
    ({ areas, size, film }) => {
      const canvas = document.querySelector<HTMLCanvasElement>("[data-testid=film]");
      const small = document.createElement("canvas");
      Object.assign(small, size);
      const pen = small.getContext("2d", { willReadFrequently: true });
      if (!canvas || !pen) throw new Error("there is no film");
      const by = canvas.width / film;
      const parts = areas.map(({ x, y, width, height }) => {
        pen.drawImage(canvas, x * by, y * by, width * by, height * by, 0, 0, size.width, size.height);
        return Array.from(pen.getImageData(0, 0, size.width, size.height).data);
      });
      return { wanted: canvas.dataset.wanted, shown: canvas.dataset.shown, parts };
    },
    { areas: AREAS, size: SIZE, film: FILM.width },
  );
  const numbers = (text: string | undefined) => (text ?? "").split(" ").map(Number);
  return {
    wanted: numbers(wanted),
    shown: numbers(shown),
    painted: parts.map((data, c) => readPaintedNumber(data, SIZE.width, SIZE.height) - [A, B][c]!.from),
  };
}

async function untilShown(page: Page, a: number, b: number) {
  await page
    .locator(`[data-testid=film][data-wanted="${a} ${b}"][data-shown="${a} ${b}"]`)
    .waitFor({ timeout: PATIENCE_MS });
}

/** At 240 instants a second b shows a new frame at each, a at each fourth; why 3/8: see the test of the written film. */
const at = (steps: number) => [A.event + Math.round(steps / 4 + 0.375), B.event + steps] as const;

describe("side by side", () => {
  it("moves both clips with one scrubber, each picture the frame it says, both events at once", async () => {
    const page = await openFilm();
    await untilShown(page, A.event, B.event);
    const scrubber = page.getByRole("slider");
    await scrubber.focus();
    let steps = 0;
    for (const [key, by] of [
      ...Array<[string, number]>(9).fill(["ArrowRight", 1]),
      ...Array<[string, number]>(14).fill(["ArrowLeft", -1]),
      ["Shift+ArrowRight", 10],
      ["Shift+ArrowLeft", -10],
    ] as const) {
      await page.keyboard.press(key);
      steps += by;
      await untilShown(page, ...at(steps));
      const { shown, painted } = await held(page);
      expect(painted).toEqual(shown);
      expect(painted).toEqual([...at(steps)]);
    }
    // Beyond its end the shorter clip keeps its last frame and says so.
    await page.keyboard.press("End");
    // 0.4 s after the only event: 96 instants, and b has 88 frames left.
    const end = [at(96)[0], B.frames - 1] as const;
    await untilShown(page, ...end);
    expect((await held(page)).painted).toEqual([...end]);
    expect(await page.getByTestId("film").getAttribute("aria-label")).toContain("this clip has ended");
    await page.getByRole("button", { name: "To left blade-off 1 (stride 1)" }).click();
    await untilShown(page, A.event, B.event);
  });

  it("has one clock, which moves by the frames of the faster clip and comes back", async () => {
    const page = await openFilm();
    await untilShown(page, A.event, B.event);
    // Blade-off is half a frame after the frame picked for it; b has 240 frames a second of real time.
    const clock = (frames: number) => `${((frames - 0.5) / 240).toFixed(3).replace("-", "−")} s`;
    const scrubber = page.getByRole("slider");
    await scrubber.focus();
    let frames = 0;
    for (const by of [1, 1, 1, -1, -1, -1, -1, 1]) {
      await page.keyboard.press(by > 0 ? "ArrowRight" : "ArrowLeft");
      frames += by;
      await untilShown(page, ...at(frames));
      expect(await page.locator(".film-time").textContent()).toBe(clock(frames));
      expect(await scrubber.getAttribute("aria-valuetext")).toBe(clock(frames));
    }
    expect(frames).toBe(0);
  });

  it("names what can't be chosen and why, and says when both sides are the same", async () => {
    const page = await openFilm((study) => ({
      ...study,
      trials: [
        ...study.trials,
        { ...study.trials[0]!, id: "t9", repeat: 8, clip: undefined },
        { ...study.trials[0]!, id: "t10", repeat: 9 },
      ],
    }));
    await untilShown(page, A.event, B.event);
    const right = page.getByLabel("Trial on the right");
    const off = await right.locator("option:disabled").allTextContents();
    expect(off).toHaveLength(2);
    expect(off[0]).toMatch(/8 \(no clip\)$/);
    expect(off[1]).toMatch(/9 \(no event marked\)$/);
    await right.selectOption("t1");
    await page.getByText("Both sides show the same trial").waitFor();
    await right.selectOption("t2");
    await page.getByText("Both sides show the same trial").waitFor({ state: "detached" });
  });

  it("shows the nearest frame under its own name until the exact one is there", async () => {
    const page = await openFilm();
    await untilShown(page, A.event, B.event);
    // From here on no frame of b comes until it is let through; those near by were fetched before.
    let letThrough: () => void = () => undefined;
    const open = new Promise<void>((resolve) => {
      letThrough = resolve;
    });
    await page.route("**/api/clips/clip-1/frames/*", async (route) => {
      await open;
      await route.continue();
    });
    const film = page.getByTestId("film");
    await page.getByRole("slider").focus();
    await page.keyboard.press("Home");
    // 0.4 s before the event clip b had not begun: its first frame is wanted, which is 61 frames away.
    const early = at(-95)[0];
    await page.locator(`[data-testid=film][data-wanted="${early} 0"]`).waitFor();
    const { shown, painted } = await held(page);
    expect(painted).toEqual(shown);
    expect(shown[1]).not.toBe(0);
    expect(await film.getAttribute("aria-label")).toContain(
      `this is frame ${shown[1]}; frame 0 is on its way`,
    );
    letThrough();
    await untilShown(page, early, 0);
    expect((await held(page)).painted).toEqual([early, 0]);
  });

  it("never shows another picture than it says while it plays", async () => {
    const page = await openFilm();
    await untilShown(page, A.event, B.event);
    const play = page.getByRole("button", { name: "Play", exact: true });
    const pause = page.getByRole("button", { name: "Pause", exact: true });
    const seen = new Set<number>();
    const look = async () => {
      const { shown, painted } = await held(page);
      expect(painted).toEqual(shown);
      seen.add(shown[1]!);
    };
    // It plays by the clock, and a busy machine has few looks at it: once more, then.
    for (let plays = 0; plays < 20 && seen.size <= 5; plays++) {
      await play.click();
      await pause.waitFor();
      while (await pause.isVisible()) await look();
      // At the end it stops by itself.
      await play.waitFor();
      await look();
      expect(seen).toContain(B.frames - 1);
    }
    expect(seen.size).toBeGreaterThan(5);
  });

  it("saves what is seen as a clip, and nothing when it is stopped", async () => {
    const page = await openFilm();
    await page.getByLabel("Speed").selectOption("8");
    await page.getByRole("button", { name: "Save as clip (MP4)" }).click();
    await page.getByRole("button", { name: "Stop" }).click();
    await page.getByText("Stopped. No clip was saved.").waitFor();
    await page.getByLabel("Speed").selectOption("1");
    const download = page.waitForEvent("download", { timeout: PATIENCE_MS });
    await page.getByRole("button", { name: "Save as clip (MP4)" }).click();
    const saved = await download;
    expect(saved.suggestedFilename()).toBe("t1-and-t2.mp4");
    const file = join(temporaryFolder(), "saved.mp4");
    await saved.saveAs(file);
    await page.getByText("Saved to your downloads as t1-and-t2.mp4").waitFor();
    const { stdout } = spawnSync(
      "ffprobe",
      [
        "-v",
        "error",
        "-count_frames",
        "-show_entries",
        "stream=codec_name,nb_read_frames",
        "-of",
        "csv=p=0",
        file,
      ],
      { encoding: "utf8" },
    );
    const [codec, frames] = stdout.trim().split(",");
    expect(codec).toBe("h264");
    // 0.4 s before and after the events, at 60 frames a second.
    expect(Math.abs(Number(frames) - 49)).toBeLessThanOrEqual(1);
  });
});
