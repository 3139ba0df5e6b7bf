import { cpus, loadavg } from "node:os";
import type { CDPSession, Page } from "playwright";
import { type BenchHost, serveFolder } from "./benchHost.ts";
import { benchBrowser, bitmaps } from "./benchWindow.ts";
import { installProbe } from "./probe.ts";
import { CLIPS, MARKS_EACH, seasonStudy, TRIALS } from "./seasonStudy.ts";
import { megabytes, p50p95, type Row } from "./table.ts";
import { windowBytes, windowWork } from "./windowMemory.ts";

const OPENINGS = 8;
const MARKS = 20;
const PLACES = ["Plan", "Times", "Compare", "Report", "Measure"] as const;
const PICTURE = "[data-testid=picture][data-shown-frame]";

interface Opening {
  /** Milliseconds from navigation to the stride's numbers being painted. */
  readonly numbers: number;
  /** The same to the frame being on the canvas. */
  readonly picture: number;
  /** Processor time the window itself took for both, ms: the same on a busy machine. */
  readonly worked: number;
  /** The longest the window was deaf in its first ten seconds, ms. */
  readonly deaf: number;
}

/** A season in one study: how fast it opens, how soon a mark is on the disk, what the window holds. */
export async function seasonRows(root: string): Promise<Row[]> {
  const host = await serveFolder(root, seasonStudy(root));
  const browser = await benchBrowser();
  const opened: Opening[] = [];
  try {
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
    const processes = await browser.newBrowserCDPSession();
    for (let n = 0; n < OPENINGS; n++) {
      const page = await context.newPage();
      opened.push(await opening(page, host, processes));
      await page.close();
    }
    const page = await context.newPage();
    await opening(page, host, processes);
    const onDisk = await marksMade(page);
    const held = await places(page, processes);
    return rows(opened, onDisk, held);
  } finally {
    await browser.close();
    await host.close();
  }
}

function rows(opened: readonly Opening[], onDisk: readonly number[], held: Held): Row[] {
  const clip = `${TRIALS} x ${MARKS_EACH}, ${CLIPS} clips`;
  const [first, ...later] = opened as [Opening, ...Opening[]];
  const of = (key: keyof Opening) => later.map((o) => o[key]);
  return [
    { clip, what: "opened first in a browser: numbers", value: ms(first.numbers), limit: "1000 ms" },
    { clip, what: "the same: picture, its clip not prepared yet", value: ms(first.picture) },
    { clip, what: "opened again: numbers", value: p50p95(of("numbers")), limit: "p95 1000 ms" },
    { clip, what: "opened again: picture", value: p50p95(of("picture")), limit: "p95 1000 ms" },
    { clip, what: "the window's own work till then (processor)", value: p50p95(of("worked")) },
    { clip, what: "deaf at most, first 10 s", value: ms(Math.max(...opened.map((o) => o.deaf))) },
    { clip, what: "mark made, flushed to the disk", value: p50p95(onDisk), limit: "p95 1000 ms" },
    {
      clip,
      what: "processors, and the machine's load just now",
      value: `${cpus().length}, ${loadavg()[0]?.toFixed(1)}`,
    },
    ...held.shown.map(([place, took]) => ({ clip, what: `${place} opened`, value: ms(took) })),
    {
      clip,
      what: "window's process after all places, without bitmaps",
      value: `${megabytes(held.process - held.bitmaps)} (bitmaps ${megabytes(held.bitmaps)}, objects ${megabytes(held.heap)})`,
      limit: "400 MB",
    },
  ];
}

/** Opens the printed address and waits for numbers and picture. */
async function opening(page: Page, host: BenchHost, processes: CDPSession): Promise<Opening> {
  await page.addInitScript(installProbe, {
    ...{ x: 0, y: 0, width: 60, height: 40 },
    of: { width: 1920, height: 1080 },
  });
  await page.addInitScript(noteFirst, PICTURE);
  await page.goto(host.url, { waitUntil: "commit" });
  const seen = () => page.evaluate(() => (window as unknown as { first: First }).first);
  await page.waitForFunction(() => {
    const { first } = window as unknown as { first: First };
    return first.numbers !== null && first.picture !== null;
  });
  const worked = await windowWork(processes);
  await page.waitForFunction(() => performance.now() > 10_000, null, { timeout: 60_000 });
  const { numbers, picture, deaf } = await seen();
  return { numbers: numbers ?? Number.NaN, picture: picture ?? Number.NaN, worked, deaf };
}

interface First {
  numbers: number | null;
  picture: number | null;
  deaf: number;
}

/** Runs in the page, before the app. Times from navigation; a thing counts as drawn in the frame after it is there. */
function noteFirst(picture: string): void {
  const first: First = { numbers: null, picture: null, deaf: 0 };
  (window as unknown as { first: First }).first = first;
  const look = () => {
    const now = performance.now();
    const cell = document.querySelector(".stride-panel td.value");
    if (first.numbers === null && /\d/.test(cell?.textContent ?? "")) first.numbers = now;
    if (first.picture === null && document.querySelector(picture)) first.picture = now;
    if (first.numbers === null || first.picture === null) requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
  new PerformanceObserver((list) => {
    for (const { duration, startTime } of list.getEntries())
      if (startTime < 10_000) first.deaf = Math.max(first.deaf, duration);
  }).observe({ type: "longtask", buffered: true });
}

/**
 * Puts the mark that is asked for and takes it back, again and again.
 *
 * @returns milliseconds from the press to the host's answer that the step is flushed
 */
async function marksMade(page: Page): Promise<number[]> {
  await page.getByRole("button", { name: /other frames? ha(s|ve) open points/ }).click();
  const box = await page.locator(".picture-stage[data-placing]").boundingBox();
  if (!box) throw new Error("there is no picture to mark on");
  const taken: number[] = [];
  for (let n = 0; n < MARKS; n++) {
    await page.mouse.move(box.x + box.width * 0.6 + n, box.y + box.height * 0.55);
    taken.push(await answered(page, () => page.mouse.down().then(() => page.mouse.up())));
    await page.waitForTimeout(300);
    await answered(page, () => page.keyboard.press("Control+z"));
    await page.waitForTimeout(300);
  }
  return taken;
}

async function answered(page: Page, act: () => Promise<void>): Promise<number> {
  const answer = page.waitForResponse((r) => r.url().endsWith("/api/steps") && r.ok());
  const begun = performance.now();
  await act();
  await answer;
  return performance.now() - begun;
}

interface Held {
  readonly process: number;
  readonly bitmaps: number;
  readonly heap: number;
  /** Each place and how long it took to open, ms. */
  readonly shown: readonly (readonly [place: string, ms: number])[];
}

/** Goes to every place once and weighs the window. */
async function places(page: Page, processes: CDPSession): Promise<Held> {
  const shown: [string, number][] = [];
  for (const place of PLACES) {
    const begun = performance.now();
    await page.getByRole("button", { name: place }).click();
    // Drawn: the place is there and the window answers again.
    await page.waitForFunction((name) => {
      const main = document.querySelector("main");
      const current = document.querySelector(".bar-place[aria-current=page]")?.textContent ?? "";
      return current.startsWith(name) && !/Opening …/.test(main?.textContent ?? "");
    }, place);
    await page.evaluate(() => new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve, 0))));
    shown.push([place, performance.now() - begun]);
    await page.waitForTimeout(2000);
  }
  const session = await page.context().newCDPSession(page);
  await session.send("HeapProfiler.collectGarbage");
  const { usedSize } = await session.send("Runtime.getHeapUsage");
  return {
    process: await windowBytes(processes),
    bitmaps: (await bitmaps(page)).bytes,
    heap: usedSize,
    shown,
  };
}

function ms(value: number): string {
  return `${value.toFixed(0)} ms`;
}
