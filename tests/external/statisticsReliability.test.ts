import { describe, expect, it } from "vitest";
import { type Interval, reliability } from "../../src/compare/reliability.ts";
import type { OrWhy } from "../../src/reading.ts";
import { near } from "../helpers/near.ts";
import { seeded } from "../helpers/random.ts";

/** Bland & Altman (1986), Table 1, l/min; Shrout & Fleiss (1979), Table 2. Numbers marked R: docs/references.md 2.2-2.4. */

const W1 = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427];
const W2 = [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421];
const M1 = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451];
const beside = (a: readonly number[], b: readonly number[]) => a.map((v, i) => [v, b[i]!]);

function within(got: OrWhy<Interval>, value: number, low: number, high: number, tolerance = 1e-8): void {
  if (got.value === null) throw new Error(got.why);
  near(got.value, value, tolerance);
  near(got.ci95[0], low, tolerance);
  near(got.ci95[1], high, tolerance);
}

describe("limits of agreement (Bland & Altman 1986; R)", () => {
  const { limits } = reliability(beside(W1, M1));
  if (limits.value === null) throw new Error(limits.why);
  const { bias, sd, low, high } = limits.value;

  it("has the published bias of -2.1 and SD of 38.8", () => {
    within(bias, -2.117647058824, -22.048837697, 17.813543579);
    near(sd, 38.765129873607, 1e-11);
  });

  it("uses 1.96 SD, not 2: -78.1 and 73.9, where 2 SD would be -79.6 and 75.4", () => {
    near(low.value, -78.097301611, 1e-8);
    near(high.value, 73.862007493, 1e-8);
  });

  // Published: lower limit's interval -114.3 to -45.1 around the 2 SD limit: half-width 34.6 = t(16) x 16.3.
  it("gives a limit its own interval from sqrt(3 s^2 / n) = 16.284 611 795", () => {
    near((low.ci95[1] - low.ci95[0]) / 2, 2.119905299221 * 16.284611795, 1e-6); // R qt(.975, 16)
    near((high.ci95[1] - high.ci95[0]) / 2, 34.6, 0.1);
  });
});

describe("typical error and its kin from two repeats (docs/references.md 2.3, R)", () => {
  const r = reliability(beside(W1, W2));

  it("typical error with its chi-square interval", () =>
    within(r.typicalError, 15.361214528, 11.440569, 23.378677, 1e-6));
  it("as a share, from logarithms", () => near(r.cvPercent.value, 3.511766874, 1e-8));
  it("detectable change", () => near(r.mdc95.value, 42.579114322, 1e-8));
  it("ICC(3,1) and (2,1), the second larger because passes differ less than they scatter", () => {
    if (r.icc.value === null) throw new Error(r.icc.why);
    near(r.icc.value.consistency.value, 0.983045842, 1e-8);
    near(r.icc.value.agreement.value, 0.983164008, 1e-8);
  });
});

describe("6 targets, 4 judges (Shrout & Fleiss 1979)", () => {
  const r = reliability([
    [9, 2, 5, 8],
    [6, 1, 3, 2],
    [8, 4, 6, 8],
    [7, 1, 2, 6],
    [10, 5, 6, 9],
    [6, 2, 4, 7],
  ]);
  if (r.icc.value === null) throw new Error(r.icc.why);
  const { icc } = { icc: r.icc.value };

  it("has the published mean squares 11.24, 6.26, 32.49, 1.02", () => {
    near(r.meanSquares.rows, 11.241666667, 1e-8);
    near(r.meanSquares.within, 6.263888889, 1e-8);
    near(r.meanSquares.columns, 32.486111111, 1e-8);
    near(r.meanSquares.error, 1.019444444, 1e-8);
  });

  it("has the published .17 .29 .71 .44 .62 .91 and R's intervals", () => {
    within(icc.oneWay, 0.165741768, -0.132932325, 0.722560062);
    within(icc.agreement, 0.28976378, 0.018786513, 0.76108437);
    within(icc.consistency, 0.714840715, 0.342464765, 0.94585826);
    within(icc.meanOneWay, 0.442797134, -0.884442155, 0.91241542);
    within(icc.meanAgreement, 0.620050548, 0.071136815, 0.92723204);
    within(icc.meanConsistency, 0.909315542, 0.675674714, 0.985891678);
  });

  it("has no limits of agreement for four judges, and says so", () => expect(r.limits.value).toBeNull());
});

describe("what cannot be said", () => {
  it.each([
    ["one row", [[1, 2]]],
    ["one column", [[1], [2]]],
    ["a gap", [[1, 2], [3]]],
    [
      "no number",
      [
        [1, 2],
        [3, Number.NaN],
      ],
    ],
  ])("%s is refused in words", (_, table) => {
    expect(() => reliability(table)).toThrow(expect.objectContaining({ code: "no-reliability" }));
  });

  // A clock of 0.01 s hides all scatter below it: an SD of 0 with an interval of 0 to 0 is what nobody can know.
  it.each([
    ["exactly", (v: number, k: number) => [v, v, v].slice(0, k), /repeat exactly: /],
    [
      "but for a change common to all",
      (v: number, k: number) => [v, v + 0.02, v + 0.03].slice(0, k),
      /exactly but for a change/,
    ],
  ])("readings that repeat %s tell nothing of how well, be they two or three", (_, repeats, why) => {
    for (const k of [2, 3]) {
      const r = reliability([4.53, 3.37, 4.79, 4.6].map((v) => repeats(v, k)));
      for (const told of [r.typicalError, r.cvPercent, r.mdc95, r.icc, r.limits])
        expect(told).toEqual({ value: null, why: expect.stringMatching(why) });
    }
  });

  it("readings whose shares repeat exactly tell no share, and the rest", () => {
    const r = reliability([4.53, 3.37, 4.79, 4.6].map((v) => [v, 1.1 * v]));
    expect(r.cvPercent).toEqual({ value: null, why: expect.stringMatching(/but for a share common to all/) });
    // By hand: the gaps are 0.1 of the readings, whose SD is 0.644431; over sqrt(2).
    near(r.typicalError.value, 0.06444312738 / Math.SQRT2, 1e-8);
  });

  it("readings that differ as much within as between have no ICC", () => {
    // By hand: both rows have mean 2, so nothing tells them apart.
    const r = reliability([
      [1, 3],
      [3, 1],
    ]);
    expect(r.icc).toMatchObject({ value: null, why: expect.stringMatching(/ICC 0 or less/) });
  });

  it("never gives what is no number, in 1,500 coarse tables", () => {
    const random = seeded(5);
    const numbers = (o: unknown): number[] =>
      typeof o === "number" ? [o] : o && typeof o === "object" ? Object.values(o).flatMap(numbers) : [];
    for (let i = 0; i < 1500; i++) {
      const [n, k] = [2 + Math.floor(random() * 4), 2 + Math.floor(random() * 3)];
      const step = [1, 0.1, 0.5][i % 3]!;
      const table = Array.from({ length: n }, () =>
        Array.from({ length: k }, () => 5 + step * Math.round(random() * 3)),
      );
      expect(numbers(reliability(table)).every(Number.isFinite), JSON.stringify(table)).toBe(true);
    }
  });
});
