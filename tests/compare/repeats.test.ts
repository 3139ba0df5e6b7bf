import { describe, expect, it } from "vitest";
import { observerScatter } from "../../src/compare/observerScatter.ts";
import { trialReliability } from "../../src/compare/trialReliability.ts";
import type { Mark } from "../../src/study/types.ts";
import { near } from "../helpers/near.ts";
import { pairedRows } from "../helpers/pairedRows.ts";
import { normal, seeded } from "../helpers/random.ts";

const mark = (frame: number, xPx: number, yPx: number, more: Partial<Mark> = {}): Mark => ({
  frame,
  time: frame / 60,
  point: "blade_toe",
  side: "left",
  xPx,
  yPx,
  ...more,
});

describe("marks of several observers", () => {
  // By hand: point 1: x means 10 and 14, y 5 and 5 -> squares 8, 0; point 2: x 20, 20, y 7, 9 -> 0, 2; 10 over 4 df.
  it("pools the scatter of the observers' own means", () => {
    const found = observerScatter([
      [
        mark(1, 9, 5, { observer: "anna", pass: 1 }),
        mark(1, 11, 5, { observer: "anna", pass: 2 }),
        mark(1, 14, 5, { observer: "ben" }),
        mark(2, 20, 7, { observer: "anna" }),
        mark(2, 20, 9, { observer: "ben" }),
        mark(3, 99, 99, { observer: "ben" }),
      ],
      [mark(1, 500, 500, { observer: "ben" })],
    ]);
    if (found.value === null) throw new Error(found.why);
    near(found.value, Math.sqrt(10 / 4), 1e-12);
    expect([found.observers, found.points]).toEqual([2, 2]);
  });

  it("finds that one sees an end elsewhere: law for marks made with SD 1.2 px, 3 px apart along x", () => {
    const random = seeded(3);
    const clip = Array.from({ length: 300 }, (_, frame) =>
      ["anna", "ben"].flatMap((observer, o) =>
        [1, 2].map((pass) =>
          mark(frame, 100 + 3 * o + 1.2 * normal(random), 50 + 1.2 * normal(random), { observer, pass }),
        ),
      ),
    ).flat();
    // Variance per coordinate: 1.2^2 / 2 of means of two, and of x besides 3^2 / 2; half of that on average of both.
    near(observerScatter([clip]).value, Math.sqrt(0.72 + 2.25), 0.15);
  });

  it("says so where only one person has marked", () => {
    expect(observerScatter([[mark(1, 1, 1), mark(1, 2, 2, { pass: 2 })]]).value).toBeNull();
    expect(observerScatter([]).value).toBeNull();
  });
});

describe("how well trials repeat", () => {
  // Two repeats: typical error = SD of differences / sqrt(2) (Hopkins 2000). Differences 0.02, -0.04, 0.02: SD 0.034641.
  it("is the reliability of a table of skaters and repeats, without those who lack one", () => {
    const rows = pairedRows([[5, 5.02], [4.8, 4.76], [5.3, 5.32], [4.4]], [[1], [1], [1], [1]]);
    const { found, skaters } = trialReliability(rows, "a");
    if (found.value === null) throw new Error(found.why);
    expect(skaters).toEqual(["S1", "S2", "S3"]);
    near(found.value.typicalError.value, 0.0346410161514 / Math.SQRT2, 1e-10);
    expect([found.value.n, found.value.k]).toEqual([3, 2]);
    expect(trialReliability(rows, "b").found.value).toBeNull();
    expect(trialReliability([], "a").found.value).toBeNull();
  });

  it("takes as many repeats as leave the most values", () => {
    const three = pairedRows(
      [
        [5, 5.1, 5.2],
        [4, 4.1, 4.15],
        [6, 6.1],
      ],
      [[1], [1], [1]],
    );
    // 2 x 3 = 6 values with three repeats, 3 x 2 = 6 with two: the longer table of equals.
    expect(trialReliability(three, "a").skaters).toEqual(["S1", "S2"]);
    const wide = pairedRows(
      [
        [5, 5.1, 5.2],
        [4, 4.1],
        [6, 6.1],
        [7, 7.05],
      ],
      [[1], [1], [1], [1]],
    );
    expect(trialReliability(wide, "a").skaters).toHaveLength(4);
  });
});
