import { describe, expect, it } from "vitest";
import { ringCapacity } from "../../app/picture/frameRing.ts";
import { source } from "./heldDecoder.ts";

describe("the source of frames", () => {
  it("asks for the wanted frame at once and says it is there only when it is", async () => {
    const s = source(1000);
    s.frames.want(500);
    expect(s.waiting.has(500)).toBe(true);
    expect(s.frames.show()).toBeNull();
    s.waiting.get(500)?.();
    await s.settle();
    expect(s.frames.show()).toMatchObject({ frame: 500, bitmap: { n: 500 } });
  });

  it("decodes nothing beside a frame jumped to, one after it, and the next ones beside a frame stepped to", async () => {
    const s = source(1000);
    s.frames.want(500);
    expect([...s.waiting.keys()]).toEqual([500]);
    s.waiting.get(500)?.();
    await s.settle();
    expect([...s.waiting.keys()]).toEqual([501]);
    s.frames.want(501);
    expect([...s.waiting.keys()]).toEqual([501, 502]);
  });

  it("never goes on beyond the wanted frame and back again while one goes one way", async () => {
    const s = source(1000);
    s.frames.want(500);
    s.waiting.get(500)?.();
    await s.settle();
    expect(s.frames.show()).toMatchObject({ frame: 500 });
    s.frames.want(502);
    for (const early of [501, 504]) {
      s.waiting.get(early)?.();
      await s.settle();
    }
    s.frames.want(503);
    expect(s.frames.heldFrames).toEqual([500, 501, 504]);
    expect(s.frames.show()).toMatchObject({ frame: 501 });
    s.waiting.get(503)?.();
    await s.settle();
    expect(s.frames.show()).toMatchObject({ frame: 503 });
  });

  it("decodes only what is near after a jump, and the rest of the ring once one steps", async () => {
    const s = source(1000);
    s.frames.want(500);
    await s.answerAll();
    const few = s.frames.heldFrames.length;
    expect(few).toBeLessThan(ringCapacity(1920, 1080));
    for (const near of [496, 497, 498, 499, 501, 502, 503, 504]) expect(s.frames.heldFrames).toContain(near);
    s.frames.want(501);
    await s.answerAll();
    expect(s.frames.heldFrames).toHaveLength(ringCapacity(1920, 1080));
  });

  it("never has more than three decodes under way, however fast one moves about, and ends at the last", async () => {
    const s = source(1000, 0, true);
    for (let i = 0; i < 50; i++) s.frames.want((i * 137) % 1000);
    expect(s.waiting.size).toBe(3);
    await s.answerAll();
    expect(s.frames.show()?.frame).toBe((49 * 137) % 1000);
    // What was given up is closed when it comes all the same.
    const open = s.made.filter((b) => !b.closed).map((b) => b.n);
    expect(open.sort()).toEqual([...s.frames.heldFrames].sort());
  });

  it("gives up what is no longer wanted", async () => {
    const s = source(1000);
    s.frames.want(10);
    await s.settle();
    s.frames.want(900);
    expect(s.aborted).toContain(10);
    expect(s.waiting.has(900)).toBe(true);
  });

  it("never takes a frame whose own number is another one", async () => {
    const s = source(1000, 1);
    s.frames.want(500);
    s.waiting.get(500)?.();
    await s.settle();
    expect(s.frames.show()).toBeNull();
    expect(s.frames.failure()).toMatch(/Frame 500 was asked for, but frame 501 came/);
    expect(s.made[0]?.closed).toBe(true);
  });

  it("keeps no more than fits and closes the rest, never the one on the screen", async () => {
    const s = source(1000);
    for (const at of [100, 200, 300, 400]) {
      s.frames.want(at);
      await s.answerAll();
      const shown = s.frames.show();
      expect(shown?.frame).toBe(at);
      s.frames.drawn(shown?.bitmap ?? null);
      expect(shown?.bitmap.closed).toBe(false);
    }
    const open = s.made.filter((b) => !b.closed);
    expect(open.length).toBeLessThanOrEqual(ringCapacity(1920, 1080) + 1);
    expect(s.frames.heldFrames).toContain(400);
  });

  it("gives no memory back before a frame jumped to is there, then only as its room is needed", async () => {
    const s = source(1000);
    s.frames.want(99);
    await s.answerAll();
    s.frames.want(100);
    await s.answerAll();
    const before = s.frames.show();
    s.frames.drawn(before?.bitmap ?? null);
    const capacity = ringCapacity(1920, 1080);
    expect(s.made.length).toBeGreaterThanOrEqual(capacity);
    expect(s.frames.heldFrames).toHaveLength(capacity);
    const closed = s.made.filter((b) => b.closed);
    s.frames.want(900);
    await s.settle();
    expect(s.made.filter((b) => b.closed)).toEqual(closed);
    // What is at hand stays on the screen; nothing that is about to go takes its place.
    expect(s.frames.show()?.frame).toBe(100);
    for (let i = 0; i < 200 && s.waiting.size > 0; i++) {
      for (const give of [...s.waiting.values()]) give();
      await s.settle();
      expect(s.made.filter((b) => !b.closed).length).toBeLessThanOrEqual(capacity + 1);
    }
    // Frames near at hand replaced those of before, which were far.
    for (let n = 896; n < 905; n++) expect(s.frames.heldFrames).toContain(n);
    s.frames.want(901);
    await s.answerAll();
    expect(s.frames.heldFrames.filter((n) => n < 800 && n !== 100).length).toBeLessThanOrEqual(1);
  });

  it("decodes where one is about to go right after the wanted frame, whole, and has it there at once", async () => {
    const s = source(1000);
    s.frames.want(500);
    s.frames.expect(900);
    expect([...s.waiting.keys()]).toEqual([500]);
    s.waiting.get(500)?.();
    await s.settle();
    expect([...s.waiting.keys()]).toEqual([900]);
    expect(s.early.has(900)).toBe(false);
    expect(s.frames.show()?.frame).toBe(500);
    await s.answerAll();
    expect(s.frames.heldFrames).toContain(900);
    expect(s.frames.heldFrames.length).toBeLessThanOrEqual(30);
    s.frames.want(900);
    expect(s.frames.show()).toMatchObject({ frame: 900, whole: true });
  });

  it("lets it begin beside a frame that is being made ready, and gives it up when one turns away", async () => {
    const s = source(1000);
    s.frames.want(500);
    s.waiting.get(500)?.();
    await s.settle();
    expect(s.waiting.size).toBe(1);
    s.frames.expect(900);
    expect(s.waiting.has(900)).toBe(true);
    s.frames.expect(null);
    expect(s.aborted.at(-1)).toBe(900);
    expect(s.waiting.has(900)).toBe(false);
    s.frames.expect(1000);
    expect(s.waiting.has(1000)).toBe(false);
  });

  it("never shows a frame of another clip, and closes the old one once something else is drawn", async () => {
    const s = source(1000);
    s.frames.want(5);
    await s.answerAll();
    const old = s.frames.show();
    s.frames.drawn(old?.bitmap ?? null);
    s.frames.setClip(s.clip("c2"));
    expect(s.frames.show()).toBeNull();
    expect(old?.bitmap.closed).toBe(false);
    s.frames.drawn(null);
    expect(old?.bitmap.closed).toBe(true);
  });

  it("shows the last ready frame while a later one is being prepared, then the later one", async () => {
    const s = source(20);
    s.frames.want(30);
    await s.answerAll();
    expect(s.frames.show()?.frame).toBe(19);
    s.frames.setClip(s.clip("c1", 60));
    await s.answerAll();
    expect(s.frames.show()?.frame).toBe(30);
  });

  it("tries a failed frame again when it is asked for again", async () => {
    const s = source(1000, 1);
    s.frames.want(500);
    s.waiting.get(500)?.();
    await s.settle();
    expect(s.waiting.has(500)).toBe(false);
    s.frames.want(500);
    expect(s.waiting.has(500)).toBe(true);
  });
});
