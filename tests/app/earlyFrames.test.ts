import { describe, expect, it } from "vitest";
import { source } from "./heldDecoder.ts";

describe("a large frame, early in fewer pixels", () => {
  it("shows a large frame in fewer pixels first, says so, and then in all of them", async () => {
    const s = source(1000);
    s.frames.want(500);
    const first = s.early.get(500)!;
    expect([first.width, first.height]).toEqual([480, 270]);
    const coarse = s.make(500);
    first.take({ bitmap: coarse, frame: 500 });
    expect(s.frames.show()).toEqual({ frame: 500, bitmap: coarse, whole: false });
    s.frames.drawn(coarse);
    expect([...s.waiting.keys()]).toEqual([500]);
    s.waiting.get(500)?.();
    await s.settle();
    const whole = s.frames.show();
    expect(whole).toMatchObject({ frame: 500, whole: true });
    expect(whole?.bitmap).not.toBe(coarse);
    expect(coarse.closed).toBe(false);
    s.frames.drawn(whole?.bitmap ?? null);
    expect(coarse.closed).toBe(true);
    // Nobody waits for the next ones.
    expect(s.waiting.has(501)).toBe(true);
    expect(s.early.has(501)).toBe(false);
  });

  it("shows a large frame first in a quarter of its pixels each way, upright ones too, a very large one in fewer", () => {
    for (const [width, height, first] of [
      [3840, 2160, [960, 540, 4]],
      [2160, 3840, [540, 960, 4]],
      [2704, 1520, [676, 380, 4]],
      [1920, 1080, [480, 270, 4]],
      [7680, 4320, [960, 540, 8]],
    ] as const) {
      const s = source(1000);
      s.frames.setClip({ ...s.clip("large"), width, height });
      s.frames.want(500);
      const early = s.early.get(500)!;
      expect([early.width, early.height, early.by]).toEqual(first);
    }
  });

  it("takes fewer pixels of no other frame than the wanted one, nor of a small picture", async () => {
    const s = source(1000);
    s.frames.want(500);
    const [lying, late] = [s.make(500), s.make(500)];
    s.early.get(500)?.take({ bitmap: lying, frame: 499 });
    expect(lying.closed).toBe(true);
    s.frames.want(900);
    s.early.get(500)?.take({ bitmap: late, frame: 500 });
    expect(late.closed).toBe(true);
    expect(s.frames.show()).toBeNull();
    s.frames.setClip({ ...s.clip("small"), width: 1280, height: 720 });
    await s.settle();
    s.early.clear();
    s.frames.want(20);
    expect(s.waiting.has(20)).toBe(true);
    expect(s.early.size).toBe(0);
  });
});
