import type { Page } from "playwright";
import type { Bench } from "./bench.ts";
import type { BenchClip } from "./benchClips.ts";
import { leaveField, timedJump, untilShown } from "./benchWindow.ts";
import type { Probe } from "./probe.ts";
import type { Row } from "./table.ts";

const HELD_MS = 3500;
/** What systems send while a key is down: common practice, no source. */
const REPEAT_AFTER_MS = 500;
const REPEAT_EVERY_MS = 33;

/** The arrow key held down: frames a second that were really painted, and frames passed over. */
export async function holdRows(bench: Bench, clip: BenchClip): Promise<Row[]> {
  const host = await bench.host(clip);
  await host.untilReady();
  const page = await bench.window(host.url, clip);
  await untilShown(page);
  const rows: Row[] = [];
  for (const [what, key, from] of [
    ["key held, on", "ArrowRight", 5],
    ["key held, back", "ArrowLeft", clip.frames - 5],
  ] as const) {
    await timedJump(page, from);
    await leaveField(page);
    await page.waitForTimeout(800);
    const { rate, skipped } = await held(page, key);
    rows.push({
      clip: clip.name,
      what,
      value: `${rate.toFixed(1)} frames/s, ${skipped} skipped`,
      ...(clip.width > 1920
        ? {}
        : { limit: "30 frames/s or more, 0 skipped", met: rate >= 30 && skipped === 0 }),
    });
  }
  await page.close();
  return rows;
}

async function held(page: Page, key: string): Promise<{ rate: number; skipped: number }> {
  await page.evaluate(() => (window as unknown as { probe: Probe }).probe.watch());
  const begun = performance.now();
  await page.keyboard.down(key);
  await page.waitForTimeout(REPEAT_AFTER_MS);
  for (let due = REPEAT_AFTER_MS; due < HELD_MS; due += REPEAT_EVERY_MS) {
    await page.waitForTimeout(Math.max(0, due - (performance.now() - begun)));
    await page.keyboard.down(key);
  }
  await page.keyboard.up(key);
  const seen = await page.evaluate(() => (window as unknown as { probe: Probe }).probe.watched());
  // A frame drawn over before the window was painted was never to be seen.
  const painted = seen.filter((s, i) => seen[i + 1]?.painting !== s.painting);
  // Steady holding begins with the third: before it lies the pause that tells a hold from a tap.
  const steady = painted.slice(2);
  const frames = steady.map((s) => s.frame);
  const skipped = frames.slice(1).reduce((sum, f, i) => sum + Math.abs(f - frames[i]!) - 1, 0);
  const seconds = (steady.at(-1)!.at - steady[0]!.at) / 1000;
  return { rate: (steady.length - 1) / seconds, skipped };
}
