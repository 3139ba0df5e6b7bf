import { describe, expect, it } from "vitest";
import { outsideArea } from "../../src/report/still/outsideArea.ts";

const AREA = { x: 10, y: 10, width: 10, height: 20 };

// Plain geometry: where the lines meet the sides of the area is seen without reckoning.
describe("lines that keep off an area", () => {
  it("stay whole where they do not meet it", () => {
    const line = [0, 0, 5, 5, 30, 5];
    expect(outsideArea(line, AREA)).toEqual([line]);
    expect(outsideArea([10, 0, 10, 40], AREA)).toEqual([[10, 0, 10, 40]]);
  });

  it("are cut at its sides", () => {
    expect(outsideArea([0, 15, 30, 15], AREA)).toEqual([
      [0, 15, 10, 15],
      [20, 15, 30, 15],
    ]);
    expect(outsideArea([0, 15, 12, 15, 18, 15, 40, 15], AREA)).toEqual([
      [0, 15, 10, 15],
      [20, 15, 40, 15],
    ]);
  });

  it("begin or end in it", () => {
    expect(outsideArea([15, 20, 15, 40], AREA)).toEqual([[15, 30, 15, 40]]);
    expect(outsideArea([15, 0, 15, 20], AREA)).toEqual([[15, 0, 15, 10]]);
    expect(outsideArea([12, 12, 18, 18], AREA)).toEqual([]);
  });
});
