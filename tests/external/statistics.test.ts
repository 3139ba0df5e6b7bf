import { describe, expect, it } from "vitest";
import { compareTechniques } from "../../src/compare/compareTechniques.ts";
import { signFlipP, smallestSignFlipP } from "../../src/compare/signFlip.ts";
import { smallSampleCorrection } from "../../src/compare/smallSample.ts";
import type { Comparison } from "../../src/compare/types.ts";
import { mdc95, typicalError } from "../../src/compare/typicalError.ts";
import { t975, twoSidedP } from "../../src/statistics/distributions.ts";
import { near } from "../helpers/near.ts";
import { pairedRows } from "../helpers/pairedRows.ts";

/** Published data and numbers; those marked R were computed with R 4.2.2 from them, outside this project. */

function compare(a: readonly (readonly number[])[], b: readonly (readonly number[])[]): Comparison {
  return compareTechniques({ rows: pairedRows(a, b), a: "a", b: "b", quantity: "time_s", worthwhile: null });
}

function interval(c: Comparison): readonly [number, number] {
  const ci = c.meanDifference.value === null ? null : c.meanDifference.ci95;
  if (!ci || "why" in ci) throw new Error("no interval");
  return ci;
}

it("near() can fail", () => {
  expect(() => near(1.1, 1, 0.01)).toThrow();
  expect(() => near(null, 1, 10)).toThrow();
});

describe("Student's t", () => {
  // [computed: R qt]
  it.each([
    [5, 2.570581835636],
    [7, 2.364624251593],
    [9, 2.262157162798],
    [11, 2.200985160092],
    [14, 2.144786687918],
    [19, 2.093024054408],
    [29, 2.045229642133],
  ])("97.5 %% quantile with %i degrees of freedom", (df, want) => near(t975(df), want, 1e-11));

  // Closed forms: 1 degree of freedom is the Cauchy distribution, 2 has F(t) = 1/2 + t / (2 sqrt(2 + t^2)).
  it("agrees with the closed forms for 1 and 2 degrees of freedom", () => {
    near(t975(1), Math.tan(0.475 * Math.PI), 1e-9);
    near(t975(2), 0.95 * Math.sqrt(2 / (1 - 0.95 ** 2)), 1e-11);
    for (const t of [0.1, 1, 3, 40]) {
      near(twoSidedP(t, 1), 1 - (2 / Math.PI) * Math.atan(t), 1e-12);
      near(twoSidedP(-t, 2), 1 - t / Math.sqrt(2 + t * t), 1e-12);
    }
    expect(twoSidedP(0, 7)).toBe(1);
  });
});

describe("small-sample correction", () => {
  // Hedges (1981), exact form [computed: R lgamma]
  it.each([
    [4, 0.797884560803],
    [5, 0.84074868246],
    [7, 0.888202907673],
    [9, 0.913874891793],
    [10, 0.922745608053],
    [11, 0.929959809976],
    [14, 0.945287729307],
    [19, 0.959910352924],
    [24, 0.968365233448],
    [29, 0.973874984597],
    [38, 0.980110402131],
    [58, 0.987003581028],
  ])("with %i degrees of freedom", (v, want) => near(smallSampleCorrection(v), want, 1e-11));

  // J(2) = G(1) / G(1/2) = 1 / sqrt(pi); closed form.
  it("exists from two degrees of freedom", () => {
    near(smallSampleCorrection(2), 1 / Math.sqrt(Math.PI), 1e-14);
    expect(smallSampleCorrection(1)).toBeNull();
  });
});

describe("Student's sleep data (Student 1908; R data set sleep)", () => {
  const drug1 = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0];
  const drug2 = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];
  const c = compare(
    drug2.map((v) => [v]),
    drug1.map((v) => [v]),
  ); // difference = drug 1 - drug 2

  it("gives R's paired t", () => {
    near(c.meanDifference.value, -1.58, 1e-12);
    near(c.sd.value, 1.22999548327987, 1e-12);
    near(c.t.value, -4.06212768338204, 1e-11);
    expect(c.df.value).toBe(9);
    near(c.pT.value, 0.002832890197384, 1e-13);
    near(interval(c)[0], -2.459885763277, 1e-11);
    near(interval(c)[1], -0.700114236723, 1e-11);
  });

  it("gives the effect size with and without the small-sample correction", () => {
    near(c.dZ.value, -1.284557562591, 1e-11);
    near(c.gZ.value, -1.173924903514, 1e-11);
  });

  it("gives the exact sign-flip p, one difference being 0", () => {
    expect(c.pSignFlip.value).toBe(4 / 1024);
  });

  it("has no typical error, because nothing was repeated", () => {
    expect(c.typicalError.value).toBeNull();
    expect(c.pairs.every((p) => p.verdict === "can't tell")).toBe(true);
  });
});

describe("Darwin's maize (Fisher 1935, sections 17 and 21)", () => {
  const cross = [23.5, 12, 21, 22, 19.125, 21.5, 22.125, 20.375, 18.25, 21.625, 23.25, 21, 22.125, 23, 12];
  const self = [17.375, 20.375, 20, 20, 18.375, 18.625, 18.625, 15.25, 16.5, 18, 16.25, 18, 12.75, 15.5, 18];
  const c = compare(
    self.map((v) => [v]),
    cross.map((v) => [v]),
  );

  it("reproduces Fisher's t of 2.148 and 4.970 %", () => {
    near(c.t.value, 2.147987461331, 1e-11);
    expect(c.df.value).toBe(14);
    near(c.pT.value, 0.049702944022, 1e-12);
    near(c.meanDifference.value, 314 / 8 / 15, 1e-12);
    near(interval(c)[0], 0.003899165, 1e-9);
    near(interval(c)[1], 5.229434169, 1e-9);
    near(c.sd.value, 37.744378326 / 8, 1e-9);
  });

  it("counts 863 of the 32,768 sign patterns on each side, as Fisher did", () => {
    expect(c.pSignFlip.value).toBe(1726 / 32768);
  });

  it("says that the two tests fall on opposite sides of 0.05", () => {
    expect(c.warnings.map((w) => w.code)).toContain("tests-disagree");
  });
});

describe("8 skaters, 2 techniques, 3 trials each (invented data; R: nlme, aov)", () => {
  const a = [
    [4.41, 4.44, 4.39],
    [4.62, 4.58, 4.6],
    [4.25, 4.28, 4.24],
    [4.8, 4.86, 4.79],
    [4.51, 4.47, 4.5],
    [4.37, 4.4, 4.41],
    [4.69, 4.66, 4.72],
    [4.55, 4.52, 4.56],
  ];
  const b = [
    [4.36, 4.33, 4.37],
    [4.6, 4.61, 4.56],
    [4.17, 4.2, 4.18],
    [4.81, 4.77, 4.8],
    [4.41, 4.44, 4.43],
    [4.38, 4.35, 4.36],
    [4.58, 4.62, 4.6],
    [4.53, 4.55, 4.5],
  ];
  const c = compare(a, b);

  it("averages repeats first: t on skater means", () => {
    expect(c.n).toBe(8);
    near(c.meanDifference.value, -0.04625, 1e-12);
    near(c.sd.value, 0.029837522983, 1e-11);
    near(c.t.value, -4.38423640571, 1e-10);
    expect(c.df.value).toBe(7);
    near(c.pT.value, 0.003217852887, 1e-12);
    near(interval(c)[0], -0.071194793, 1e-9);
    near(interval(c)[1], -0.021305207, 1e-9);
    near(c.dZ.value, -1.550061646, 1e-9);
    expect(c.pSignFlip.value).toBe(2 / 256);
    expect(c.smallestPSignFlip.value).toBe(2 / 256);
  });

  // The wrong analysis (trials as independent people) has 32 degrees of freedom and p = 6.4e-8.
  it("does not count trials as people", () => {
    expect(c.df.value).not.toBe(32);
    expect(c.pT.value).toBeGreaterThan(1e-3);
  });

  it("takes the typical error from the repeats, and what follows from it", () => {
    near(c.typicalError.value, 0.022912878, 1e-9);
    near(c.mdc95Single.value, 0.063511259, 1e-9);
    near(c.smallestWorthwhile.value, 0.036461738, 1e-9);
  });

  it("changes sign and nothing else when the techniques change places", () => {
    const back = compare(b, a);
    near(back.meanDifference.value, 0.04625, 1e-12);
    near(back.t.value, 4.38423640571, 1e-10);
    near(back.pT.value, c.pT.value!, 1e-15);
    expect(back.pSignFlip.value).toBe(c.pSignFlip.value);
    near(back.typicalError.value, c.typicalError.value!, 1e-15);
  });
});

describe("typical error and detectable change", () => {
  // Bland & Altman (1986), Wright meter, 17 subjects twice. With the mean change taken out, R gives SD / sqrt(2) =
  // 15.361 214 528; pooled within subjects it is sqrt(sum d^2 / 2n) = SD about zero / sqrt(2) = 21.646 898 976 / sqrt(2).
  it("is the repeats' scatter within a subject", () => {
    const w1 = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427];
    const w2 = [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421];
    const error = typicalError(w1.map((v, i) => [v, w2[i]!]));
    near(error.value, 21.646898976 / Math.SQRT2, 1e-8);
  });

  // SEM 5 -> 13.859 292 911 [computed: 1.96 sqrt(2) SEM]
  it("turns a typical error of 5 into a detectable change of 13.86", () =>
    near(mdc95(5), 13.859292911, 1e-8));
});

describe("sign-flip", () => {
  /** The definition itself, pattern by pattern: slow, short, and not how the code does it. */
  function byDefinition(d: readonly number[]): number {
    const bar = Math.abs(d.reduce((s, v) => s + v, 0)) - 1e-9;
    let hits = 0;
    for (let pattern = 0; pattern < 2 ** d.length; pattern++) {
      const sum = d.reduce((s, v, i) => s + (pattern & (1 << i) ? v : -v), 0);
      if (Math.abs(sum) >= bar) hits++;
    }
    return hits / 2 ** d.length;
  }

  it("agrees with counting every pattern one by one, with ties, zeros and decimals", () => {
    const lists = [
      [0.1],
      [0.1, -0.1],
      [0, 0, 0],
      [0.1, 0.2, 0.3],
      [0.1, 0.2, -0.3],
      [0.11, -0.02, 0.11, 0.11, 0.07],
      [-0.05, 0.05, 0.05, 0.05, -0.05, 0.05],
      [0, 0.21, 0.13, -0.02, 0.4, 0, 0.07, 0.07, -0.11],
      [3, -1, 4, -1, 5, -9, 2, 6, -5, 3, 5, 8],
    ];
    for (const d of lists) expect(signFlipP(d), d.join(" ")).toBe(byDefinition(d));
  });

  // Design: 3 skaters can give no less than 0.25, 6 no less than 0.031.
  it("knows the smallest p that so many skaters could give", () => {
    expect(smallestSignFlipP(3)).toBe(0.25);
    expect(smallestSignFlipP(6)).toBe(0.03125);
    for (const n of [1, 2, 5, 11, 24]) {
      const agreeing = Array.from({ length: n }, (_, i) => 0.01 * (i + 1));
      expect(signFlipP(agreeing)).toBe(smallestSignFlipP(n));
    }
  });

  // n equal differences: the sum is n - 2k steps, so p is a binomial tail. For n = 30 with 22 alike, P(X >= 22) x 2.
  it("is exact for thirty skaters", () => {
    const d = Array.from({ length: 30 }, (_, i) => (i < 22 ? 0.05 : -0.05));
    const choose = (n: number, k: number): number => (k === 0 ? 1 : (choose(n, k - 1) * (n - k + 1)) / k);
    const tail = [22, 23, 24, 25, 26, 27, 28, 29, 30].reduce((sum, k) => sum + choose(30, k), 0);
    near(signFlipP(d), (2 * tail) / 2 ** 30, 1e-15);
  });
});
