import { describe, expect, it } from "vitest";
import { FrameSource } from "../../app/picture/FrameSource.ts";
import { nearestFrame, ringCapacity, ringOrder } from "../../app/picture/frameRing.ts";

describe("the ring of decoded frames", () => {
  it("fits its memory: about fifty 1080p frames, a dozen at 4K", () => {
    // 400 MB / (1920 * 1080 * 4 bytes) = 48; 400 MB / (3840 * 2160 * 4) = 12 (closed form)
    expect(ringCapacity(1920, 1080)).toBe(48);
    expect(ringCapacity(3840, 2160)).toBe(12);
    expect(ringCapacity(320, 240)).toBe(60);
    expect(ringCapacity(20000, 20000)).toBe(5);
  });

  it("wants the current frame first and looks ahead twice as far as back", () => {
    const forward = ringOrder({ wanted: 100, direction: 1, stride: 1, capacity: 10, ready: 1000 });
    expect(forward[0]).toBe(100);
    expect([...forward].sort((a, b) => a - b)).toEqual([97, 98, 99, 100, 101, 102, 103, 104, 105, 106]);
    const backward = ringOrder({ wanted: 100, direction: -1, stride: 1, capacity: 10, ready: 1000 });
    expect([...backward].sort((a, b) => a - b)).toEqual([94, 95, 96, 97, 98, 99, 100, 101, 102, 103]);
  });

  it("asks for nothing before the first and beyond the last ready frame", () => {
    expect(ringOrder({ wanted: 1, direction: -1, stride: 1, capacity: 10, ready: 3 })).toEqual([1, 0, 2]);
    expect(ringOrder({ wanted: 50, direction: 1, stride: 1, capacity: 4, ready: 10 })[0]).toBe(9);
    expect(ringOrder({ wanted: 50, direction: 1, stride: 1, capacity: 4, ready: 0 })).toEqual([]);
  });

  it("has the next steps of ten ready first when one travels by ten, and still no more than fits", () => {
    const order = ringOrder({ wanted: 100, direction: -1, stride: 10, capacity: 10, ready: 1000 });
    expect(order.slice(0, 4)).toEqual([100, 90, 80, 99]);
    expect(order).toHaveLength(10);
    expect(new Set(order).size).toBe(10);
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

/** A decoder whose answers the test gives by hand. `lie` makes it answer with another frame's number. */
function source(ready: number, lie = 0) {
  const waiting = new Map<number, () => void>();
  const made: FakeBitmap[] = [];
  const aborted: number[] = [];
  let changes = 0;
  const frames = new FrameSource<FakeBitmap>(
    (url, signal) =>
      new Promise((resolve, reject) => {
        const n = Number(url.split("/").pop());
        signal.addEventListener("abort", () => {
          aborted.push(n);
          waiting.delete(n);
          reject(new Error("aborted"));
        });
        waiting.set(n, () => {
          waiting.delete(n);
          const bitmap: FakeBitmap = {
            n,
            closed: false,
            close() {
              this.closed = true;
            },
          };
          made.push(bitmap);
          resolve({ bitmap, frame: n + lie });
        });
      }),
    () => {
      changes += 1;
    },
  );
  const clip = (name: string, count = ready) => ({
    clip: name,
    width: 1920,
    height: 1080,
    ready: count,
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
  return { frames, waiting, made, aborted, clip, settle, answerAll, changes: () => changes };
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
