import { describe, expect, it } from "vitest";
import {
  centreMotion,
  chained,
  inverse,
  mapped,
  type PlaneMap,
  stretchAt,
} from "../../src/motion/planeMap.ts";

/** Right is more x, down is more y, clockwise as displayed is a positive turn: closed forms, no values of ours. */
const SIZE = { width: 641, height: 361 };
const turned = (deg: number, scale: number, dx: number, dy: number): PlaneMap => {
  const a = (deg * Math.PI) / 180;
  const [c, s] = [scale * Math.cos(a), scale * Math.sin(a)];
  // About the centre, (320, 180).
  return [c, -s, 320 + dx - c * 320 + s * 180, s, c, 180 + dy - s * 320 - c * 180, 0, 0, 1];
};
const TILTED: PlaneMap = [1.1, 0.02, 5, -0.03, 0.95, -7, 1e-4, -2e-4, 1];

describe("a map of the picture's plane", () => {
  it("says what it does at the centre: right, down, clockwise and larger are more", () => {
    // A quarter turn clockwise on the screen takes what is right of the centre to below it.
    expect(mapped(turned(90, 1, 0, 0), 420, 180)).toMatchObject({
      x: expect.closeTo(320, 9),
      y: expect.closeTo(280, 9),
    });
    const { dxPx, dyPx, turnDeg, scale } = centreMotion(turned(12, 1.25, 3, -4), SIZE);
    expect([dxPx, dyPx, turnDeg, scale].map((v) => +v.toFixed(9))).toEqual([3, -4, 12, 1.25]);
  });

  it("chains in order and is undone by its inverse", () => {
    const move = turned(20, 0.8, 30, 5);
    const both = chained(TILTED, move);
    const step = mapped(move, 100, 50);
    expect(mapped(both, 100, 50).x).toBeCloseTo(mapped(TILTED, step.x, step.y).x, 9);
    expect(mapped(both, 100, 50).x).not.toBeCloseTo(mapped(chained(move, TILTED), 100, 50).x, 0);
    const back = mapped(chained(inverse(TILTED), TILTED), 512, 77);
    expect([back.x, back.y].map((v) => +v.toFixed(9))).toEqual([512, 77]);
  });

  it("stretches a neighbourhood as its differences do", () => {
    const [x, y, h] = [200, 300, 1e-4];
    const [right, down] = [mapped(TILTED, x + h, y), mapped(TILTED, x, y + h)];
    const here = mapped(TILTED, x, y);
    const want = [right.x - here.x, down.x - here.x, right.y - here.y, down.y - here.y].map((v) => v / h);
    for (const [k, v] of stretchAt(TILTED, x, y).entries()) expect(v).toBeCloseTo(want[k]!, 5);
  });
});
