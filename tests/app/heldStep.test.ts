import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { createHeldStep } from "../../app/places/measure/core/heldStep.ts";

/** A display that paints 60 times a second; `late` frames reach the canvas that many ms after the step. */
function display(late: number) {
  let wanted = 0;
  let onCanvas = 0;
  const painted: number[] = [0];
  let callback: ((now: number) => void) | null = null;
  vi.stubGlobal("requestAnimationFrame", (f: (now: number) => void) => {
    callback = f;
    return 1;
  });
  vi.stubGlobal("cancelAnimationFrame", () => {
    callback = null;
  });
  const held = createHeldStep(
    (by) => {
      wanted += by;
      const frame = wanted;
      if (late === 0) onCanvas = frame;
      else
        setTimeout(() => {
          // Like the picture: what is no longer wanted is not shown any more.
          if (frame === wanted) onCanvas = frame;
        }, late);
    },
    () => onCanvas === wanted,
  );
  const run = async (ms: number) => {
    for (const end = Date.now() + ms; Date.now() < end; ) {
      await vi.advanceTimersByTimeAsync(1000 / 60);
      const f = callback;
      callback = null;
      f?.(Date.now());
      await Promise.resolve();
      if (painted.at(-1) !== onCanvas) painted.push(onCanvas);
    }
  };
  return { held, painted, run, wanted: () => wanted };
}

beforeEach(() => void vi.useFakeTimers());
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

const inOrder = (from: number, to: number) => Array.from({ length: to - from + 1 }, (_, i) => from + i);

describe("a step key", () => {
  it("steps once when it is tapped", async () => {
    const d = display(0);
    d.held.press(1);
    await d.run(200);
    d.held.release();
    await d.run(1000);
    expect(d.wanted()).toBe(1);
  });

  it("paints every frame in turn while it is held, at 30 a second or more", async () => {
    for (const late of [0, 5, 20]) {
      const d = display(late);
      d.held.press(1);
      await d.run(300);
      const before = d.wanted();
      await d.run(2000);
      d.held.release();
      expect(d.painted).toEqual(inOrder(0, d.painted.length - 1));
      if (late < 20) expect((d.wanted() - before) / 2).toBeGreaterThanOrEqual(30);
    }
  });

  it("waits for frames that come slowly, and stops where one sees it stop", async () => {
    const d = display(120);
    d.held.press(-1);
    await d.run(3000);
    d.held.release();
    await d.run(500);
    expect(d.painted.map((f) => Math.abs(f))).toEqual(inOrder(0, d.painted.length - 1));
    // No more than the one on its way when the key was let go.
    expect(d.painted.at(-1)).toBe(d.wanted());
  });
});
