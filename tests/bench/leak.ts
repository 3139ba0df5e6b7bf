import type { CDPSession, Page } from "playwright";
import type { Bench } from "./bench.ts";
import type { BenchClip } from "./benchClips.ts";
import type { BenchHost } from "./benchHost.ts";
import { bitmaps, leaveField, timedJump, untilShown } from "./benchWindow.ts";
import { megabytes, type Row } from "./table.ts";
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
  const page = await bench.window(host.url, clip);
  await untilShown(page);
  const session = await page.context().newCDPSession(page);
  const processes = await page.context().browser()?.newBrowserCDPSession();
  if (!processes) throw new Error("there is no browser");
  let settled: Held | null = null;
  for (let done = 0; done < STEPS; done += BATCH) {
    await steps(page, clip, done);
    if (done + BATCH === SETTLED) settled = await held(page, host, session, processes);
  }
  const end = await held(page, host, session, processes);
  if (!settled) throw new Error("too few steps");
  await page.close();
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
}

/** A batch of real key presses from a known frame; ends on the frame they add up to. */
async function steps(page: Page, clip: BenchClip, done: number): Promise<void> {
  const middle = Math.floor(clip.frames / 2) + (done % 400) - 200;
  await timedJump(page, middle);
  await leaveField(page);
  let at = middle;
  for (let i = 0; i < BATCH; i++) {
    const back = i % 40 >= 20;
    const far = i % 17 === 0;
    at += (back ? -1 : 1) * (far ? 10 : 1);
    await page.keyboard.press(`${far ? "Shift+" : ""}${back ? "ArrowLeft" : "ArrowRight"}`);
  }
  await page.waitForSelector(`[data-testid=picture][data-shown-frame="${at}"]`, { timeout: 20_000 });
}

async function held(page: Page, host: BenchHost, session: CDPSession, processes: CDPSession): Promise<Held> {
  // Until the ring has come to rest.
  await page.waitForTimeout(3000);
  await session.send("HeapProfiler.collectGarbage");
  const { usedSize } = await session.send("Runtime.getHeapUsage");
  return {
    host: host.residentBytes() ?? 0,
    window: await windowBytes(processes),
    heap: usedSize,
    bitmaps: (await bitmaps(page)).count,
  };
}
