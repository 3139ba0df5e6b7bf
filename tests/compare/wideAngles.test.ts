import { describe, expect, it } from "vitest";
import { differenceText } from "../../src/compare/estimateText.ts";

describe("an angle's difference", () => {
  // Directions lie between 0° and 90° (docs/definitions), so no ± beyond 90° can be.
  it("never has a ± wider than can be", () => {
    const plain = (u95: number) => differenceText(30, { value: u95 }, "°").replaceAll("\u00a0", " ");
    expect(plain(270)).toBe("30° ± more than 90°");
    expect(plain(12)).toMatch(/^30° ± 12/);
    expect(differenceText(0.1, { value: 270 }, "s")).toContain("270");
  });
});
