import { describe, expect, it } from "vitest";
import { trialMean } from "../../src/kinematics/quantities/trialMeans.ts";
import type { Side } from "../../src/study/types.ts";
import { K95, Sources, weightedSum } from "../../src/uncertainty/uncertain.ts";

const SIGMA = 0.014;

/** Widths of n strides in a row from n + 2 blade points with independent errors: p(i) + (p(i − 1) + p(i + 1)) / 2, outward. */
function widths(n: number) {
  const s = new Sources();
  const points = Array.from({ length: n + 2 }, (_, k) => s.add(0.6 + 0.001 * k, SIGMA));
  return points.slice(1, -1).map((point, k) => ({
    side: (k % 2 === 0 ? "left" : "right") as Side,
    outcome: {
      value: weightedSum([
        [1, point],
        [0.5, points[k]!],
        [0.5, points[k + 2]!],
      ]),
    },
  }));
}

function had(n: number, balanced: boolean) {
  const mean = trialMean(widths(n), balanced, new Map());
  if (!("mean" in mean)) throw new Error(mean.why);
  return mean;
}

describe("standard error of a trial's mean width", () => {
  it.each([2, 4, 6, 8, 12, 20])("of %i strides is by hand σ √(4n − 3) / n", (n) => {
    // Interior points weigh 2, the two next to the ends 3/2, the ends 1/2: n² variance = 4 (n − 2) + 2 (9/4 + 1/4)
    expect(had(n, false).u95 / K95).toBeCloseTo((SIGMA * Math.sqrt(4 * n - 3)) / n, 12);
  });

  it.each([4, 8, 12, 20])("of %i strides follows 2 σ / √(n + 1), and not the smaller SD / √n", (n) => {
    // docs/precision.md 5 and docs/definitions.md: SE of n widths is 2σ/√(n+1); SD/√n is 1.3 to 1.6 times too small
    const law = (2 * SIGMA) / Math.sqrt(n + 1);
    expect(Math.abs(had(n, true).u95 / K95 / law - 1)).toBeLessThan(0.03);
    const naive = (SIGMA * Math.sqrt(1.5)) / Math.sqrt(n);
    expect(had(n, true).u95 / K95 / naive).toBeGreaterThan(1.3);
  });

  it("of one side leaves the other's own points out, so (L + R) / 2 is surer than either", () => {
    // Five lefts of ten strides: own points 1, other side's points inside 1, at the ends 1/2 (or shared with none)
    const { left, right, u95, n } = had(10, true);
    if (!("mean" in left) || !("mean" in right)) throw new Error("both sides expected");
    expect([left.n, right.n, n]).toEqual([5, 5, 10]);
    const weights = [0.5, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0.5];
    const byHand = (SIGMA / 5) * Math.sqrt(weights.reduce((sum, w) => sum + w * w, 0));
    expect(left.u95 / K95).toBeCloseTo(byHand, 12);
    expect(u95).toBeLessThan(left.u95 * 1.01);
  });

  it("an error of the midline alike for all strides cancels in (L + R) / 2 and stays in each side", () => {
    const s = new Sources();
    const midline = s.add(0, 0.05);
    const outcomes = [1, -1, 1, -1].map((sign) => ({
      side: (sign > 0 ? "left" : "right") as Side,
      outcome: {
        value: weightedSum([
          [sign, midline],
          [1, s.add(0.3, 0.001)],
        ]),
      },
    }));
    const mean = trialMean(outcomes, true, new Map());
    if (!("mean" in mean) || !("mean" in mean.left)) throw new Error("means expected");
    expect(mean.u95).toBeCloseTo(K95 * 0.0005, 9);
    expect(mean.left.u95).toBeGreaterThan(K95 * 0.05);
  });

  it("of a side without strides says so", () => {
    const mean = trialMean(widths(1), true, new Map());
    expect(mean).toMatchObject({ n: 1, right: { value: null, why: expect.stringContaining("right") } });
  });
});
