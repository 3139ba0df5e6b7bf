import { describe, expect, it } from "vitest";
import { NO_TOOL } from "../../app/places/measure/core/tool.ts";
import { framesWithoutIce } from "../../app/places/measure/scale/movingAdvice.ts";
import { scaleAdvice, threeOnALine } from "../../app/places/measure/scale/scaleAdvice.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { icePoint } from "./fakeStudy.ts";

describe("advice for the scale", () => {
  it("asks for points until there are six", () => {
    const square = [
      icePoint("A", 0, -1.5),
      icePoint("B", 0, 1.5),
      icePoint("C", 6, -1.5),
      icePoint("D", 6, 1.5),
    ];
    const advice = (n: number) =>
      scaleAdvice({ kind: "ice-points", points: square.slice(0, n) }, NO_TOOL, 0, []);
    expect(scaleAdvice(null, NO_TOOL, 0, []).title).toBe("Set the scale of the ice");
    expect(advice(2)).toMatchObject({ title: "2 of 6 ice points", done: false });
    expect(advice(3).hint).toMatch(/One more gives a scale/);
    expect(advice(4)).toMatchObject({ title: "4 of 6 ice points", done: true });
  });

  it("explains three points on one line as soon as they are there", () => {
    const points = [icePoint("A", 0, 1), icePoint("B", 5, 1), icePoint("C", 11, 1.02)];
    expect(threeOnALine(points)).toEqual(["A", "B", "C"]);
    expect(scaleAdvice({ kind: "ice-points", points }, NO_TOOL, 0, [])).toMatchObject({
      title: "Three points on one line",
      done: false,
    });
    expect(threeOnALine([icePoint("A", 0, 1), icePoint("B", 5, 1), icePoint("C", 11, 2)])).toBeNull();
  });

  it("asks for three key frames of a camera that moves, then for two points on every event frame", () => {
    const eight = Array.from({ length: 8 }, (_, i) => icePoint(`P${i}`, 3 * i, i % 2 ? 1.5 : -1.5));
    const key = (frame: number) => ({ frame, points: eight });
    const reference = (...frames: { frame: number; points: IcePoint[] }[]) =>
      ({ kind: "ice-points-by-frame", frames }) as const;
    const events = [{ event: "blade_off", side: "left", frame: 44, time: 0.7 }] as const;
    expect(scaleAdvice(reference(key(0)), NO_TOOL, 5, events)).toMatchObject({
      done: false,
      title: "No ice points on frame 5",
      hint: expect.stringMatching(/3 frames.*8 ice points each; 1 of 3/),
    });
    const fixed = reference(key(0), key(40), key(80));
    expect(framesWithoutIce(fixed, events)).toEqual([44]);
    expect(scaleAdvice(fixed, NO_TOOL, 44, events)).toMatchObject({
      done: true,
      hint: expect.stringMatching(/One event frame/),
    });
    const enough = reference(key(0), key(40), key(80), { frame: 44, points: eight.slice(0, 2) });
    expect(framesWithoutIce(enough, events)).toEqual([]);
    // Where the background carries the key frames to it, a frame needs none of its own.
    const carried = (frame: number) =>
      ({ ok: true, value: { summary: { followed: {} }, carries: (f: number) => f === frame } }) as never;
    expect(framesWithoutIce(fixed, events, carried(44))).toEqual([]);
    expect(framesWithoutIce(fixed, events, carried(45))).toEqual([44]);
    expect(scaleAdvice(fixed, NO_TOOL, 44, events, { scale: carried(44) }).hint).toMatch(
      /background carries/,
    );
    expect(scaleAdvice(fixed, NO_TOOL, 44, events).hint).toMatch(/Look at the background of this clip/);
  });
});
