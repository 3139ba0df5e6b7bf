import { describe, expect, it } from "vitest";
import { labelPlaces } from "../../app/picture/labelPlaces.ts";
import { randomNumbers } from "../../src/statistics/randomNumbers.ts";

/** Boxes of labels drawn at these places; a letter is at most 8 px wide at 13 px, a line 19 px high with its edge. */
function boxes(points: readonly { x: number; y: number; label: string }[]) {
  return labelPlaces(points).map(({ dx, dy }, i) => {
    const { x, y, label } = points[i]!;
    return { left: x + dx, top: y + dy, right: x + dx + 8 * label.length, bottom: y + dy + 19 };
  });
}

function overlaps(points: readonly { x: number; y: number; label: string }[]): number {
  const all = boxes(points);
  return all.flatMap((a, i) =>
    all
      .slice(i + 1)
      .filter((b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom),
  ).length;
}

describe("labels on the picture", () => {
  it("stand above right of their points where there is room", () => {
    expect(labelPlaces([{ x: 100, y: 100, label: "P1" }])).toEqual([{ dx: 12, dy: -22 }]);
  });

  it("of two points near each other do not lie over one another", () => {
    for (const [dx, dy] of [
      [0, 0],
      [8, 3],
      [-20, 10],
      [30, -10],
    ] as const) {
      const two = [
        { x: 500, y: 300, label: "P5" },
        { x: 500 + dx, y: 300 + dy, label: "P11" },
      ];
      expect(overlaps(two), `${dx}, ${dy}`).toBe(0);
    }
  });

  it("stay apart however four points lie in a patch of 40 px", () => {
    const random = randomNumbers(20);
    for (let n = 0; n < 500; n++) {
      const points = ["P1", "P12", "P3", "P10"].map((label) => ({
        x: 400 + 40 * random(),
        y: 300 + 40 * random(),
        label,
      }));
      expect(overlaps(points)).toBe(0);
    }
  });
});
