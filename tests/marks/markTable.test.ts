import { describe, expect, it } from "vitest";
import { checkMarks } from "../../src/marks/checkMarks.ts";
import { reckonedSds } from "../../src/marks/markSds.ts";
import { MarkTable } from "../../src/marks/markTable.ts";
import type { Mark } from "../../src/study/types.ts";

const mark = (change: Partial<Mark> = {}): Mark => ({
  frame: 12,
  time: 0.2,
  point: "blade_toe",
  side: "left",
  xPx: 100,
  yPx: 200,
  ...change,
});

const SDS = reckonedSds(null, 1.5, false);

describe("marks of a trial", () => {
  it("are found by frame, side and point, with the study's marking SD", () => {
    const table = new MarkTable([mark(), mark({ side: "right", xPx: 300 })], SDS);
    expect(table.get(12, "left", "blade_toe")).toEqual({ xPx: 100, yPx: 200, uPx: 1.5 });
    expect(table.get(12, "right", "blade_toe")!.xPx).toBe(300);
    expect(table.get(13, "left", "blade_toe")).toBeNull();
  });

  it("keep an uncertainty of their own", () => {
    expect(new MarkTable([mark({ uPx: 4 })], SDS).get(12, "left", "blade_toe")!.uPx).toBe(4);
  });

  it("repeated twice are averaged, √2 times surer", () => {
    const passes = [98, 101].map((xPx, pass) => mark({ xPx, pass }));
    const { xPx, uPx } = new MarkTable(passes, SDS).get(12, "left", "blade_toe")!;
    expect(xPx).toBeCloseTo(99.5, 12);
    expect(uPx).toBeCloseTo(1.5 / Math.SQRT2, 12); // JCGM 100:2008 4.2.3
  });

  it("copied are one mark and no surer", () => {
    const table = new MarkTable(
      [1, 2, 3].map((pass) => mark({ pass })),
      SDS,
    );
    expect(table.get(12, "left", "blade_toe")!.uPx).toBe(1.5);
  });
});

describe("marks that are refused", () => {
  const picture = { width: 640, height: 480 };

  it("may lie on the picture's very edge: the outer half of the outer pixels", () => {
    expect(() => checkMarks([mark({ xPx: -0.5, yPx: 479.5 })], picture)).not.toThrow();
    expect(() => checkMarks([mark({ xPx: -0.6 })], picture)).toThrow(/outside|inside/);
    expect(() => checkMarks([mark({ yPx: 479.6 })], picture)).toThrow(/frame 12 left blade_toe/);
  });

  it("the same point twice by one observer, not by two", () => {
    const [a, b] = [mark({ observer: "A" }), mark({ observer: "B" })];
    expect(() => checkMarks([a, b], picture)).not.toThrow();
    expect(() => checkMarks([a, a], picture)).toThrow(/has two/);
  });
});
