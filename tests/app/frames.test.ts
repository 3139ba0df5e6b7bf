import { describe, expect, it } from "vitest";
import { type Early, FrameSource } from "../../app/picture/FrameSource.ts";
import { nearestFrame, ringCapacity, ringOrder } from "../../app/picture/frameRing.ts";

const upTo = (ready: number) => ({ ranges: [[0, ready]] as const, likely: [] });

describe("the ring of decoded frames", () => {
  it("fits its memory: thirty 1080p frames, a dozen at 4K, and never more than half a gigabyte", () => {
    // 256 MB / (1920 * 1080 * 4 bytes) = 30.9; 256 MB / (3840 * 2160 * 4) = 7.7, 480 MB / … = 14.5 (closed form)
    expect(ringCapacity(1920, 1080)).toBe(30);
    expect(ringCapacity(3840, 2160)).toBe(12);
    expect(ringCapacity(320, 240)).toBe(60);
    expect(ringCapacity(7680, 4320)).toBe(3);
    expect(ringCapacity(0, 0)).toBe(2);
    for (const [w, h] of [
      [640, 360],
      [1280, 720],
      [2704, 1520],
      [5120, 2880],
      [7680, 4320],
    ] as const)
      expect(ringCapacity(w, h) * w * h * 4).toBeLessThan(512e6);
  });

  it("wants the current frame first and looks ahead twice as far as back", () => {
    const forward = ringOrder({ wanted: 100, direction: 1, stride: 1, capacity: 10, ...upTo(1000) });
    expect(forward[0]).toBe(100);
    expect([...forward].sort((a, b) => a - b)).toEqual([97, 98, 99, 100, 101, 102, 103, 104, 105, 106]);
    const backward = ringOrder({ wanted: 100, direction: -1, stride: 1, capacity: 10, ...upTo(1000) });
    expect([...backward].sort((a, b) => a - b)).toEqual([94, 95, 96, 97, 98, 99, 100, 101, 102, 103]);
  });

  it("asks for nothing before the first and beyond the last ready frame", () => {
    expect(ringOrder({ wanted: 1, direction: -1, stride: 1, capacity: 10, ...upTo(3) })).toEqual([1, 0, 2]);
    expect(ringOrder({ wanted: 50, direction: 1, stride: 1, capacity: 4, ...upTo(10) })[0]).toBe(9);
    expect(ringOrder({ wanted: 50, direction: 1, stride: 1, capacity: 4, ...upTo(0) })).toEqual([]);
  });

  it("has the next steps of ten ready first when one travels by ten, and still no more than fits", () => {
    const order = ringOrder({ wanted: 100, direction: -1, stride: 10, capacity: 10, ...upTo(1000) });
    expect(order.slice(0, 6)).toEqual([100, 90, 80, 70, 60, 99]);
    expect(order).toHaveLength(10);
    expect(new Set(order).size).toBe(10);
  });

  it("keeps event frames near at hand, and lets them take a quarter of the room at most", () => {
    const wish = { wanted: 100, direction: 1, stride: 1, capacity: 12, ranges: [[0, 1000]] } as const;
    const one = ringOrder({ ...wish, likely: [400] });
    for (const frame of [399, 400, 401]) expect(one).toContain(frame);
    expect(one).toHaveLength(12);
    const many = ringOrder({ ...wish, likely: [400, 300, 500, 200, 600, 5000] });
    expect(many.filter((f) => f > 150)).toEqual([400, 300, 500]);
    // The next step comes before any of them.
    expect(many.indexOf(101)).toBeLessThan(many.indexOf(400));
  });

  it("takes frames prepared after a jump, and the nearest of either side while there is a gap", () => {
    const wish = {
      direction: 1,
      stride: 1,
      capacity: 6,
      ranges: [
        [0, 50],
        [200, 210],
      ],
      likely: [],
    } as const;
    expect(ringOrder({ ...wish, wanted: 205 })[0]).toBe(205);
    expect(ringOrder({ ...wish, wanted: 60 })[0]).toBe(49);
    expect(ringOrder({ ...wish, wanted: 190 })[0]).toBe(200);
    expect(ringOrder({ ...wish, wanted: 49 })).toEqual([49, 48]);
  });

  it("shows the wanted frame or the nearest", () => {
    expect(nearestFrame([3, 9, 12], 9)).toBe(9);
    expect(nearestFrame([3, 9, 12], 11)).toBe(12);
    expect(nearestFrame([], 11)).toBeNull();
  });
});

interface FakeBitmap {
  readonly n: number;
  closed: boolean;
  close(): void;
}

/**
 * A decoder whose answers the test gives by hand. `lie` makes it answer with another frame's number; a `stubborn` one
 * finishes what it has begun though it is told to stop.
 */
function source(ready: number, lie = 0, stubborn = false) {
  const waiting = new Map<number, () => void>();
  const early = new Map<number, Early<FakeBitmap>>();
  const made: FakeBitmap[] = [];
  const aborted: number[] = [];
  const make = (n: number): FakeBitmap => {
    const bitmap = {
      n,
      closed: false,
      close() {
        this.closed = true;
      },
    };
    made.push(bitmap);
    return bitmap;
  };
  let changes = 0;
  const frames = new FrameSource<FakeBitmap>(
    (url, signal, first) =>
      new Promise((resolve, reject) => {
        const n = Number(url.split("/").pop());
        if (first) early.set(n, first);
        signal.addEventListener("abort", () => {
          aborted.push(n);
          if (stubborn) return;
          waiting.delete(n);
          reject(new Error("aborted"));
        });
        waiting.set(n, () => {
          waiting.delete(n);
          resolve({ bitmap: make(n), frame: n + lie });
        });
      }),
    () => {
      changes += 1;
    },
  );
  const clip = (name: string, count = ready) => ({
    name,
    width: 1920,
    height: 1080,
    ranges: [[0, count]] as const,
    likely: [],
    url: (n: number) => `${name}/${n}`,
  });
  frames.setClip(clip("c1"));
  const settle = () => new Promise((done) => setTimeout(done, 0));
  /** Answers everything that is asked for until nothing is. */
  const answerAll = async () => {
    for (let i = 0; i < 200 && waiting.size > 0; i++) {
      for (const give of [...waiting.values()]) give();
      await settle();
    }
  };
  return { frames, waiting, early, made, make, aborted, clip, settle, answerAll, changes: () => changes };
}

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
