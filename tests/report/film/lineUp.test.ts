import { describe, expect, it } from "vitest";
import { type LinedClip, lineUp } from "../../../src/report/film/lineUp.ts";
import type { MomentFrame } from "../../../src/report/film/moment.ts";

/** A clip of evenly spaced frames; `late`: what its first frame's time is. */
function clip(count: number, rate: number, moment: MomentFrame, speedFactor = 1, late = 0): LinedClip {
  const times = Array.from({ length: count }, (_, n) => late + n / rate);
  return { times, part: { first: 0, last: count - 1 }, speedFactor, moment };
}

const OFF = 0.5;
const ON = -0.5;

// Closed forms throughout: frames of an even clip are n / rate apart, and real time is clip time / speed factor.
describe("lining up two clips", () => {
  it("shows both event frames at the same instant, whatever the rates, offsets and speed factors", () => {
    for (const offset of [OFF, ON, 0])
      for (const [rateA, rateB] of [
        [60, 60],
        [60, 240],
        [240, 29.97],
        [25, 60],
      ] as const)
        for (const factor of [1, 8])
          for (const slow of [1, 3.7, 10]) {
            const a = clip(300, rateA, { frame: 111, offset });
            const b = clip(900, rateB, { frame: 203, offset }, factor, 0.4);
            const lined = lineUp([a, b], { rate: 30, slow });
            expect(lined.shownAt(0, lined.zero)).toEqual({ frame: 111, edge: null });
            expect(lined.shownAt(1, lined.zero)).toEqual({ frame: 203, edge: null });
          }
  });

  it("counts real seconds from the event, half a frame beside its frame", () => {
    const lined = lineUp([clip(100, 50, { frame: 40, offset: OFF })], { rate: 30, slow: 1 });
    expect(lined.sinceMoment(0, 40)).toBeCloseTo(-0.01, 12);
    expect(lined.sinceMoment(0, 90)).toBeCloseTo(0.99, 12);
    const slowed = lineUp([clip(100, 50, { frame: 40, offset: ON }, 8)], { rate: 30, slow: 1 });
    expect(slowed.sinceMoment(0, 40)).toBeCloseTo(0.01 / 8, 12);
    expect(slowed.sinceMoment(0, 90)).toBeCloseTo((1 + 0.01) / 8, 12);
    expect(slowed.intervals[0]).toBeCloseTo(0.0025, 12);
  });

  it("shows at each instant the frame nearest in real time", () => {
    // 240 and 60 frames a second: frame 80 + 4k of the one goes with 20 + k of the other.
    const fast = clip(400, 240, { frame: 80, offset: OFF });
    const usual = clip(100, 60, { frame: 20, offset: OFF });
    const lined = lineUp([fast, usual], { rate: 60, slow: 1, from: -0.2, to: 0.5 });
    for (let j = 0; j < lined.count; j++) {
      const steps = j - lined.zero;
      expect(lined.shownAt(0, j).frame).toBe(80 + 4 * steps);
      expect(lined.shownAt(1, j).frame).toBe(20 + steps);
    }
  });

  it("slows by repeating frames evenly", () => {
    const lined = lineUp([clip(100, 60, { frame: 50, offset: OFF })], {
      rate: 30,
      slow: 4,
      from: -0.5,
      to: 0.5,
    });
    const frames = Array.from({ length: lined.count }, (_, j) => lined.shownAt(0, j).frame);
    // A second is 120 output frames and 60 of the clip: each is shown twice.
    expect(lined.count).toBeGreaterThanOrEqual(119);
    expect(lined.count).toBeLessThanOrEqual(121);
    for (let j = 4; j < frames.length - 4; j++) expect(frames[j + 2]! - frames[j]!).toBe(1);
  });

  it("holds the edge frame of the shorter clip and says so", () => {
    const long = clip(300, 60, { frame: 150, offset: OFF });
    const short = clip(60, 60, { frame: 10, offset: OFF });
    const lined = lineUp([long, short], { rate: 60, slow: 1 });
    expect(lined.count).toBe(300);
    expect(lined.shownAt(1, 0)).toEqual({ frame: 0, edge: "before" });
    expect(lined.shownAt(1, lined.zero - 11)).toEqual({ frame: 0, edge: "before" });
    expect(lined.shownAt(1, lined.zero - 10)).toEqual({ frame: 0, edge: null });
    expect(lined.shownAt(1, lined.zero + 49)).toEqual({ frame: 59, edge: null });
    expect(lined.shownAt(1, lined.zero + 50)).toEqual({ frame: 59, edge: "after" });
    expect(lined.shownAt(0, 299)).toEqual({ frame: 299, edge: null });
  });

  it("never leaves the part of a clip that can be shown", () => {
    const part = { ...clip(300, 60, { frame: 150, offset: OFF }), part: { first: 120, last: 170 } };
    const whole = clip(300, 60, { frame: 150, offset: OFF });
    const lined = lineUp([part, whole], { rate: 60, slow: 1, from: -2, to: 2 });
    const shown = Array.from({ length: lined.count }, (_, j) => lined.shownAt(0, j));
    expect(Math.min(...shown.map((s) => s.frame))).toBe(120);
    expect(Math.max(...shown.map((s) => s.frame))).toBe(170);
    expect(shown.filter((s) => s.edge === null)).toHaveLength(51);
  });

  it("shows only the stretch asked for, also where it does not hold the event", () => {
    const one = clip(300, 60, { frame: 150, offset: OFF });
    const all = lineUp([one], { rate: 60, slow: 1 });
    for (const [from, to] of [
      [-1, 1],
      [0.5, 1.5],
      [-2, -1.5],
    ] as const) {
      const part = lineUp([one], { rate: 60, slow: 1, from, to });
      expect(Math.abs(part.count - (60 * (to - from) + 1))).toBeLessThanOrEqual(1);
      for (let j = 0; j < part.count; j++) {
        expect(part.secondsAt(j)).toBeGreaterThanOrEqual(from - 1e-5);
        expect(part.secondsAt(j)).toBeLessThanOrEqual(to + 1e-5);
        expect(part.shownAt(0, j)).toEqual(all.shownAt(0, all.zero + j - part.zero));
      }
    }
    expect(lineUp([one], { rate: 60, slow: 1, from: 1, to: 0.5 }).count).toBe(0);
    // "From the event" and "up to the event" hold its picked frame.
    for (const offset of [OFF, ON]) {
      const about = clip(300, 60, { frame: 150, offset });
      expect(lineUp([about], { rate: 60, slow: 1, from: 0 }).shownAt(0, 0).frame).toBe(150);
      const upTo = lineUp([about], { rate: 60, slow: 1, to: 0 });
      expect(upTo.shownAt(0, upTo.count - 1).frame).toBe(150);
    }
  });

  it("follows a clip's own times where they are uneven", () => {
    const times = [0, 0.02, 0.05, 0.06, 0.1, 0.11, 0.2, 0.21];
    const uneven = { times, part: { first: 0, last: 7 }, speedFactor: 1, moment: { frame: 3, offset: 0 } };
    const lined = lineUp([uneven], { rate: 1000, slow: 1 });
    for (let j = 0; j < lined.count; j++) {
      const at = 0.06 + lined.secondsAt(j);
      const gaps = times.map((t) => Math.abs(t - at));
      expect(gaps[lined.shownAt(0, j).frame]).toBeCloseTo(Math.min(...gaps), 9);
    }
  });
});

describe("steps by hand", () => {
  it("are one frame of the clip with the shorter intervals, and come back", () => {
    // 59.94 and 60 a second are alike, so the first leads; of 60 and 120 the second does.
    const nearly = {
      ...clip(200, 60, { frame: 90, offset: OFF }),
      times: Array.from({ length: 200 }, (_, n) => (n * 1001) / 60000),
    };
    const usual = clip(150, 60, { frame: 60, offset: OFF });
    const fast = clip(300, 120, { frame: 111, offset: OFF });
    for (const [pair, lead] of [
      [[nearly, usual], 0],
      [[usual, nearly], 0],
      [[usual, fast], 1],
    ] as const) {
      const lined = lineUp(pair, { rate: 30, slow: 4 });
      expect(lined.lead).toBe(lead);
      const { moment, times } = pair[lead];
      const zero = lined.leadSeconds(moment.frame);
      // The law: blade-off is half a frame after its own.
      expect(zero).toBeCloseTo(-(times[1]! - times[0]!) / 2, 9);
      for (let k = 0; k < times.length; k++) {
        const seconds = lined.leadSeconds(k);
        expect(seconds - zero).toBeCloseTo(times[k]! - times[moment.frame]!, 9);
        expect(lined.leadStep(seconds)).toBe(k);
        expect(lined.shownAfter(lead, seconds)).toEqual({ frame: k, edge: null });
      }
      for (const [c, one] of pair.entries()) expect(lined.shownAfter(c, zero).frame).toBe(one.moment.frame);
    }
  });

  it("go on evenly beyond the leading clip's ends, where the other still shows something", () => {
    const part = { ...clip(300, 120, { frame: 111, offset: OFF }), part: { first: 100, last: 130 } };
    const lined = lineUp([clip(300, 60, { frame: 150, offset: OFF }), part], { rate: 60, slow: 1 });
    for (const k of [-60, 99, 100, 115, 130, 131, 400]) {
      expect(lined.leadStep(lined.leadSeconds(k))).toBe(k);
      expect(lined.leadSeconds(k)).toBeCloseTo((k - 111 - 0.5) / 120, 9);
    }
  });
});
