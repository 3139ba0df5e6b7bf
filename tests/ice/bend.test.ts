import { describe, expect, it } from "vitest";
import { isLens, Straightening } from "../../src/ice/camera/bend.ts";

const SIZE = { width: 1281, height: 721 };
const [CX, CY] = [640, 360];
const UNIT = Math.hypot(CX, CY);
const PLACES = [0, 0.1, 0.4, 0.8, 1].flatMap((a) => [0, 0.3, 0.95].map((d) => [a * 1280, d * 720] as const));

describe("a picture straightened", () => {
  it("is that of the division model, whose other way is a quadratic equation", () => {
    // Fitzgibbon (2001): rd = ru (1 + k rd²), so rd = 2 ru / (1 + √(1 - 4 k ru²)).
    for (const k of [-0.11, -0.03, 0.06]) {
      const lens = new Straightening({ second: k, fourth: 0 }, SIZE);
      for (const [x, y] of PLACES) {
        const ru = Math.hypot(x - CX, y - CY) / UNIT;
        const inside = 2 / (1 + Math.sqrt(1 - 4 * k * ru * ru));
        if (ru * inside > 1) continue;
        const at = lens.bent(x, y);
        expect(at.x).toBeCloseTo(CX + inside * (x - CX), 5);
        expect(at.y).toBeCloseTo(CY + inside * (y - CY), 5);
      }
    }
  });

  it("comes back to itself, also beyond its corners, and is stretched as its places move", () => {
    for (const bend of [
      { second: -0.084, fourth: -0.025 },
      { second: 0.03, fourth: -0.01 },
    ]) {
      const lens = new Straightening(bend, SIZE);
      for (const [x, y] of [...PLACES, [-400, -300] as const, [2600, 900] as const]) {
        const flat = lens.straight(x, y);
        const back = lens.bent(flat.x, flat.y);
        expect(back.x).toBeCloseTo(x, 5);
        expect(back.y).toBeCloseTo(y, 5);
        const [a, b, c, d] = lens.stretch(x, y);
        const right = lens.straight(x + 0.01, y);
        const below = lens.straight(x, y + 0.01);
        for (const [slope, far] of [
          [a, right.x - flat.x],
          [b, below.x - flat.x],
          [c, right.y - flat.y],
          [d, below.y - flat.y],
        ] as const)
          expect(slope).toBeCloseTo(far / 0.01, 3);
      }
    }
  });

  it("is not that of a lens where it would fold", () => {
    expect(isLens({ second: -0.15, fourth: 0 })).toBe(true);
    expect(isLens({ second: -1, fourth: 0 })).toBe(false);
    expect(isLens({ second: 0.9, fourth: 0 })).toBe(false);
  });
});
