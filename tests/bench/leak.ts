import type { Browser, Page } from "playwright";
import type { Bench } from "./bench.ts";
import type { BenchClip } from "./benchClips.ts";
import type { BenchHost } from "./benchHost.ts";
import { bitmaps, openMeasure, untilShown } from "./benchWindow.ts";
import { megabytes, type Row } from "./table.ts";
import { type UnwatchedBrowser, unwatchedBrowser } from "./unwatchedBrowser.ts";
import { windowBytes } from "./windowMemory.ts";

const STEPS = 10_000;
/** Caches have filled by then. */
const SETTLED = 2_000;
const BATCH = 200;

interface Held {
  readonly host: number;
  readonly window: number;
  readonly heap: number;
  readonly bitmaps: number;
}

/** What is held after 10,000 steps against after the first 2,000: on, back, by one and by ten, now and then a jump. */
export async function leakRows(bench: Bench, clip: BenchClip): Promise<Row[]> {
  if (clip.name !== "1080p240") return [];
  const host = await bench.host(clip);
  await host.untilReady();
  const browser = await unwatchedBrowser();
  try {
    await browser.look(async (page) => {
      await openMeasure(page, host.url, clip);
      await untilShown(page);
    });
    await steps(browser, clip, 0, SETTLED);
    const settled = await browser.look((page, all) => held(page, all, host));
    await steps(browser, clip, SETTLED, STEPS);
    const end = await browser.look((page, all) => held(page, all, host));
    const row = (what: string, key: keyof Held, say: (held: number) => string = megabytes): Row => ({
      ...{ clip: clip.name, what, value: `${say(settled[key])}, then ${say(end[key])}` },
      ...{ limit: "no growth (10 % for chance)", met: end[key] <= 1.1 * settled[key] },
    });
    return [
      row(`host after ${SETTLED} and ${STEPS} steps`, "host"),
      row("window's process", "window"),
      row("window's objects", "heap"),
      row("bitmaps not closed", "bitmaps", String),
    ];
  } finally {
    await browser.close();
  }
}

/** Lets the window step by itself, from so many steps to so many, and waits until it has. */
async function steps(browser: UnwatchedBrowser, clip: BenchClip, from: number, until: number): Promise<void> {
  await browser.look((page) => page.evaluate(stepAlone, { from, until, batch: BATCH, frames: clip.frames }));
  for (;;) {
    await new Promise((resolve) => setTimeout(resolve, 1000));
    const title = await browser.title();
    if (title === `stepped ${until}`) return;
    if (title.startsWith("stopped")) throw new Error(title);
  }
}

/** Runs in the page: batches of key presses from a known frame, each ending on the frame they add up to. */
function stepAlone(asked: { from: number; until: number; batch: number; frames: number }): void {
  const rest = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));
  const press = (target: EventTarget, key: string, shiftKey = false) => {
    for (const type of ["keydown", "keyup"])
      target.dispatchEvent(new KeyboardEvent(type, { key, shiftKey, bubbles: true, cancelable: true }));
  };
  async function until(frame: number): Promise<void> {
    for (const end = performance.now() + 20_000; performance.now() < end; await rest(20)) {
      const shown = document.querySelector<HTMLElement>("[data-testid=picture]")?.dataset.wholeFrame;
      if (shown === String(frame)) return;
    }
    throw new Error(`frame ${frame} never came`);
  }
  async function jump(frame: number): Promise<void> {
    const field = document.querySelector<HTMLInputElement>("[data-testid=frame-field]");
    if (!field) throw new Error("there is no field for a frame");
    field.focus();
    // As typed: a value set by the page itself is not heard of.
    document.execCommand("selectAll");
    document.execCommand("insertText", false, String(frame));
    await rest(50);
    press(field, "Enter");
    field.blur();
    await until(frame);
  }
  async function all(): Promise<void> {
    for (let done = asked.from; done < asked.until; done += asked.batch) {
      let at = Math.floor(asked.frames / 2) + (done % 400) - 200;
      await jump(at);
      for (let i = 0; i < asked.batch; i++) {
        const back = i % 40 >= 20;
        const far = i % 17 === 0;
        at += (back ? -1 : 1) * (far ? 10 : 1);
        press(document.body, back ? "ArrowLeft" : "ArrowRight", far);
        await rest(5);
      }
      await until(at);
    }
    document.title = `stepped ${asked.until}`;
  }
  all().catch((error) => {
    document.title = `stopped: ${error}`;
  });
}

async function held(page: Page, browser: Browser, host: BenchHost): Promise<Held> {
  // Until the ring has come to rest.
  await page.waitForTimeout(3000);
  const session = await page.context().newCDPSession(page);
  await session.send("HeapProfiler.collectGarbage");
  const { usedSize } = await session.send("Runtime.getHeapUsage");
  return {
    host: host.residentBytes() ?? 0,
    window: await windowBytes(await browser.newBrowserCDPSession()),
    heap: usedSize,
    bitmaps: (await bitmaps(page)).count,
  };
}
