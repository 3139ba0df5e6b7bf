import { describe, expect, it } from "vitest";
import { playOn, slower, strideAround } from "../../app/places/measure/core/playOn.ts";
import type { EventFrame, Side } from "../../src/study/types.ts";

describe("playing a clip", () => {
  const all = { first: 0, last: 299 };
  const even = (f: number) => (f < 300 ? f / 60 : undefined);

  it("shows after a second the frame of a second later, however often it is asked", () => {
    for (const ticks of [1, 7, 60, 144]) {
      let head = { frame: 30, clock: 0.5 };
      for (let i = 0; i < ticks; i++) head = playOn(head, 1 / ticks, all, even)!;
      // The frame whose own time has come: 1.5 s is frame 90, or just before it for sums that do not come out even.
      expect(Math.abs(head.frame - 90)).toBeLessThanOrEqual(1);
      expect(head.clock).toBeCloseTo(1.5, 9);
    }
  });

  it("follows the clip's own times where frames are unevenly spaced", () => {
    const times = [0, 0.01, 0.02, 0.3, 0.31];
    const at = (seconds: number) =>
      playOn({ frame: 0, clock: 0 }, seconds, { first: 0, last: 4 }, (f) => times[f])?.frame;
    expect([0.005, 0.015, 0.25, 0.3, 0.4].map(at)).toEqual([0, 1, 2, 3, 4]);
  });

  it("goes from life's speed to half, to a quarter, and to life's again", () => {
    expect([slower(1), slower(0.5), slower(0.25)]).toEqual([0.5, 0.25, 1]);
  });

  it("waits for a frame that is not there yet, and makes up for nothing then", () => {
    const ready = (n: number) => (f: number) => (f < n ? f / 60 : undefined);
    const waiting = playOn({ frame: 8, clock: 8 / 60 }, 2, all, ready(10))!;
    expect(waiting).toEqual({ frame: 9, clock: 9 / 60 });
    expect(playOn(waiting, 1 / 60, all, ready(300))?.frame).toBe(10);
  });

  it("ends at the last frame, and not before it was shown", () => {
    const last = playOn({ frame: 298, clock: 298 / 60 }, 5, all, even)!;
    expect(last.frame).toBe(299);
    expect(playOn(last, 0.01, all, even)).toBeNull();
  });
});

describe("one stride over and over", () => {
  const off = (side: Side, frame: number): EventFrame => ({
    event: "blade_off",
    side,
    frame,
    time: frame / 60,
  });
  const offs = [off("left", 20), off("right", 40), off("left", 60), off("right", 80)];

  it("goes from a blade's leaving the ice to its next, else to the other blade's", () => {
    expect(strideAround(offs, 25)).toEqual({ first: 20, last: 60 });
    expect(strideAround(offs, 59)).toEqual({ first: 40, last: 80 });
    expect(strideAround(offs, 0)).toEqual({ first: 20, last: 60 });
    expect(strideAround(offs, 70)).toEqual({ first: 60, last: 80 });
    expect(strideAround(offs, 200)).toEqual({ first: 40, last: 80 });
    expect(strideAround(offs.slice(0, 1), 25)).toBeNull();
    expect(strideAround([], 25)).toBeNull();
  });
});
