import { describe, expect, it } from "vitest";
import { markingScatter } from "../../src/compare/markingScatter.ts";
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

describe("marking SD from repeat marks", () => {
  // By hand: x 10, 12 around 11 -> 2; y 5, 5 -> 0; x 20, 20 -> 0; y 7, 9 -> 2: 4 over 4 degrees of freedom = 1.
  // Chi-square with 4 df (any table): 0.4844 and 11.143: 1 x sqrt(4 / 11.143) = 0.599, sqrt(4 / 0.4844) = 2.874.
  it("pools both coordinates of every point marked twice", () => {
    const found = markingScatter([
      [
        mark(1, 10, 5, { pass: 1 }),
        mark(1, 12, 5, { pass: 2 }),
        mark(2, 20, 7, { pass: 1 }),
        mark(2, 20, 9, { pass: 2 }),
        mark(3, 99, 99, { pass: 1 }),
      ],
    ]);
    if (found.value === null) throw new Error(found.why);
    near(found.value, 1, 1e-12);
    expect([found.df, found.points]).toEqual([4, 2]);
    near(found.ci95[0], 0.599, 1e-3);
    near(found.ci95[1], 2.874, 1e-3);
    expect(found.betweenObservers.value).toBeNull();
  });

  it("recovers the SD that marks were made with, and does not mix observers or clips up", () => {
    const random = seeded(3);
    const clips = [0, 1].map(() =>
      Array.from({ length: 150 }, (_, frame) =>
        ["anna", "ben"].flatMap((observer, o) =>
          [1, 2].map((pass) =>
            // Ben sees the end 3 px further along.
            mark(frame, 100 + 3 * o + 1.2 * normal(random), 50 + 1.2 * normal(random), { observer, pass }),
          ),
        ),
      ).flat(),
    );
    const found = markingScatter(clips);
    if (found.value === null || found.betweenObservers.value === null) throw new Error("no scatter");
    // 1,200 degrees of freedom: the SD of an SD is 1 / sqrt(2 x 1200) = 2 %.
    expect(found.value).toBeGreaterThan(1.2 * 0.94);
    expect(found.value).toBeLessThan(1.2 * 1.06);
    // Law: between two observers' means of two, per coordinate: var = 1.2^2 / 2 + (3^2 / 2) / 2 (x only).
    near(found.betweenObservers.value, Math.sqrt(0.72 + 2.25), 0.15);
    expect(found.betweenObservers.observers).toBe(2);
  });

  it("says what to do where nothing was marked twice", () => {
    expect(markingScatter([[mark(1, 1, 1)], [mark(1, 2, 2)]])).toMatchObject({
      value: null,
      why: expect.stringMatching(/marked twice/),
    });
    expect(markingScatter([])).toMatchObject({ value: null });
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
