import type { Page } from "playwright";
import type { Bench } from "./bench.ts";
import type { BenchClip } from "./benchClips.ts";
import {
  bitmaps,
  leaveField,
  ribbonJump,
  type Timed,
  timedJump,
  timedPress,
  typedJump,
  untilShown,
} from "./benchWindow.ts";
import { megabytes, p50p95, quantile, type Row, timesRow } from "./table.ts";
import { workerAlone } from "./workerAlone.ts";

const STEPS = 80;
const JUMPS = 40;
/** A person's taps are not closer than this. */
const BETWEEN_MS = 70;

/** Long enough to type a number or aim at the ribbon. */
const BEFORE_JUMP_MS = 700;
/** A hand that has come to where it wants to press does not press sooner. */
const POINTER_RESTS_MS = 100;

/**
 * From key press to the right frame on the canvas: one frame on, one back, and jumps inside what is ready, to a typed
 * number and on the ribbon, with a pointer, which comes before it is pressed, and by a tap, which nothing announces.
 */
export async function stepRows(bench: Bench, clip: BenchClip): Promise<Row[]> {
  const host = await bench.host(clip);
  await host.untilReady();
  const page = await bench.window(host.url, clip);
  await untilShown(page);
  const from = Math.floor(clip.frames / 2);
  await timedJump(page, from);
  await leaveField(page);
  const forward = await taps(page, "ArrowRight", from, 1);
  const backward = await taps(page, "ArrowLeft", from + STEPS, -1);
  const typed: Timed[] = [];
  for (let i = 0; i < JUMPS; i++) {
    await page.waitForTimeout(BEFORE_JUMP_MS);
    typed.push(await typedJump(page, (i * 137 + 11) % clip.frames));
  }
  await leaveField(page);
  const pointed = await presses(page, clip, POINTER_RESTS_MS);
  const sudden: Timed[] = [];
  const alone: Timed[] = [];
  for (let i = 0; i < JUMPS; i++) {
    await page.waitForTimeout(BEFORE_JUMP_MS);
    sudden.push(await ribbonJump(page, clip, (i * 137 + 11) % clip.frames, 0));
    await page.waitForTimeout(BEFORE_JUMP_MS);
    alone.push(await workerAlone(page, clip, (i * 211 + 5) % clip.frames));
  }
  const { mostBytes } = await bitmaps(page);
  const memory = (host.peakBytes() ?? Number.NaN) + mostBytes;
  await page.close();
  const large = clip.width > 1920;
  const at = (timed: readonly Timed[], share: number) =>
    quantile(
      timed.map((t) => t.ms),
      share,
    );
  const row = (what: string, timed: readonly Timed[], most = large ? 70 : 33) =>
    timesRow(
      clip.name,
      what,
      timed.map((t) => t.ms),
      most,
    );
  const allPixels = (timed: readonly Timed[]) => ({
    clip: clip.name,
    what: "... in all its pixels",
    value: p50p95(timed.map((t) => t.wholeMs)),
  });
  const mostMemory = large ? 900e6 : 512e6;
  return [
    row("one frame on", forward),
    row("one frame back", backward),
    row("jump inside what is ready, by number", typed),
    allPixels(typed),
    row("... by the pointer, on the ribbon", pointed),
    allPixels(pointed),
    row("... by a tap there, unannounced", sudden, large ? 100 : 50),
    allPixels(sudden),
    { clip: clip.name, what: "a worker alone, in between", value: p50p95(alone.map((t) => t.ms)) },
    allPixels(alone),
    {
      ...{ clip: clip.name, what: "tap : worker alone, median and p95" },
      value: [0.5, 0.95].map((q) => (at(sudden, q) / at(alone, q)).toFixed(2)).join(", "),
    },
    {
      clip: clip.name,
      what: "host + window's bitmaps, peak",
      value: `${megabytes(memory)} (bitmaps ${megabytes(mostBytes)})`,
      limit: `under ${megabytes(mostMemory)}`,
      met: memory < mostMemory,
    },
  ];
}

async function presses(page: Page, clip: BenchClip, restMs: number): Promise<Timed[]> {
  const taken: Timed[] = [];
  for (let i = 0; i < JUMPS; i++) {
    await page.waitForTimeout(BEFORE_JUMP_MS);
    taken.push(await ribbonJump(page, clip, (i * 137 + 11) % clip.frames, restMs));
  }
  return taken;
}

async function taps(page: Page, key: string, from: number, by: 1 | -1): Promise<Timed[]> {
  const taken: Timed[] = [];
  for (let i = 1; i <= STEPS; i++) {
    await page.waitForTimeout(BETWEEN_MS);
    taken.push(await timedPress(page, key, from + by * i));
  }
  return taken;
}
