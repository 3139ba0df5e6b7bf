import { describe, expect, it } from "vitest";
import { compareTechniques } from "../../src/compare/compareTechniques.ts";
import { holm, overallTest } from "../../src/compare/manyTechniques.ts";
import { pairedPower, pairsForPower } from "../../src/compare/power.ts";
import { hodgesLehmann, signedRank } from "../../src/compare/wilcoxon.ts";
import { withinSkater } from "../../src/compare/withinSkater.ts";
import { chiSquareQuantile } from "../../src/statistics/distributions.ts";
import { upperF } from "../../src/statistics/fDistribution.ts";
import { mean, standardDeviation } from "../../src/statistics/mean.ts";
import { noncentralityAt, noncentralTCdf } from "../../src/statistics/noncentralT.ts";
import { near } from "../helpers/near.ts";
import { pairedRows } from "../helpers/pairedRows.ts";
import reference from "../reference/statistics.json" with { type: "json" };

/** Published data; numbers marked R were computed outside this project (references 2, tests/reference/statistics.R). */

function paired(a: readonly number[], b: readonly number[], worthwhile: number | null = null) {
  const cells = (values: readonly number[]) => values.map((v) => [v]);
  return compareTechniques({
    rows: pairedRows(cells(a), cells(b)),
    a: "a",
    b: "b",
    quantity: "time_s",
    worthwhile,
  });
}

const SLEEP = [
  [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0],
  [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4],
] as const;

describe("distributions", () => {
  it("has the noncentral t of R over a grid, and three points of docs/references.md 2.8", () => {
    const { t, df, ncp, p } = reference.noncentralT;
    expect(p).toHaveLength(120);
    for (const [i, want] of p.entries()) near(noncentralTCdf(t[i]!, df[i]!, ncp[i]!), want, 1e-9);
    near(noncentralTCdf(2, 10, 1), 0.80761156253, 1e-11);
    near(noncentralTCdf(-1, 5, 0.5), 0.082444091057, 1e-11);
    near(noncentralTCdf(3, 7, 2.5), 0.61788372266, 1e-11);
  });

  // Law: T = ncp / S for a huge t; both sides of the switch agree, and neither takes long.
  it("inverts the noncentral t also where differences hardly scatter", () => {
    for (const df of [1, 2, 9]) {
      for (const p of [0.025, 0.975]) {
        const [before, after] = [noncentralityAt(999.999, df, p), noncentralityAt(1000.001, df, p)];
        near(after / before, 1, 3e-5);
        near(noncentralityAt(-999.999, df, 1 - p), -before, 1e-6);
        near(noncentralityAt(1e8, df, p) / after, 1e5, 1);
      }
    }
  });

  it("has R's F and chi-square", () => {
    const { f, chi } = reference.distributions;
    near(upperF(3.2, 2, 9), f[0]!, 1e-13);
    near(upperF(19.221529, 1, 7), f[1]!, 1e-13);
    near(upperF(0.4, 3, 15), f[2]!, 1e-13);
    near(upperF(2.1, 1.83, 9.15), f[3]!, 1e-13);
    near(chiSquareQuantile(0.025, 16), chi[0]!, 1e-10);
    near(chiSquareQuantile(0.975, 16), chi[1]!, 1e-10);
  });
});

describe("effect sizes with exact intervals: Student's sleep data (docs/references.md 2.1, R)", () => {
  const c = paired(...SLEEP); // drug 2 - drug 1: the signs of the reference turned

  it("d_z and its interval from the noncentral t", () => {
    near(c.dZ.value, 1.284557562591, 1e-11);
    if (c.dZ.value === null || "why" in c.dZ.ci95) throw new Error("no interval");
    near(c.dZ.ci95[0], 0.414627756, 1e-9);
    near(c.dZ.ci95[1], 2.118016514, 1e-9);
  });

  it("g_z is J d_z, at both ends too", () => {
    const j9 = 0.913874891793; // docs/references.md 2.7
    near(c.gZ.value, 1.173924903514, 1e-11);
    if (c.gZ.value === null || "why" in c.gZ.ci95) throw new Error("no interval");
    near(c.gZ.ci95[0], j9 * 0.414627756, 1e-9);
    near(c.gZ.ci95[1], j9 * 2.118016514, 1e-9);
  });

  it("tests for equivalence within 1 h: far from it", () => {
    const { equivalence } = paired(...SLEEP, 1);
    if (equivalence.value === null) throw new Error(equivalence.why);
    near(equivalence.value, 0.914944115, 1e-9);
    near(equivalence.pHigh, 0.914944115, 1e-9);
    near(equivalence.pLow, 4.7786e-5, 1e-9);
    near(equivalence.ci90[0], 0.866994733, 1e-9);
    near(equivalence.ci90[1], 2.293005267, 1e-9);
  });
});

describe("Wilcoxon's signed rank", () => {
  it("drops the zero of Student's sleep data and stays exact (docs/references.md 2.1)", () => {
    const rank = signedRank(SLEEP[1].map((v, i) => v - SLEEP[0][i]!));
    expect(rank).toEqual({ value: 45, n: 9, p: 2 / 512 }); // R's default, an approximation, gives 0.009 090 698
  });

  // Hollander & Wolfe (1973), depression scale; R help of wilcox.test (docs/references.md 2.5)
  it("reproduces Hollander and Wolfe: V 40, p, centre and interval", () => {
    const x = [1.83, 0.5, 1.62, 2.48, 1.68, 1.88, 1.55, 3.06, 1.3];
    const y = [0.878, 0.647, 0.598, 2.05, 1.06, 1.29, 1.06, 3.14, 1.29];
    const d = x.map((v, i) => v - y[i]!);
    expect(signedRank(d)).toEqual({ value: 40, n: 9, p: 0.0390625 });
    const centre = hodgesLehmann(d);
    if (centre.value === null || centre.interval.value === null) throw new Error("no interval");
    near(centre.value, 0.46, 1e-12);
    near(centre.interval.value[0], 0.01, 1e-12);
    near(centre.interval.value[1], 0.786, 1e-12);
    expect(centre.interval.level).toBeGreaterThanOrEqual(0.95);
  });

  it("is exact with ties too: R, from every sign pattern", () => {
    const { differences, v, p } = reference.ranks;
    const rank = signedRank(differences);
    if (rank.value === null) throw new Error(rank.why);
    expect([rank.value, rank.p]).toEqual([v[0], p[0]]);
  });

  it("reproduces Darwin's maize (docs/references.md 2.6): V 96, p 0.041 259 766", () => {
    const d = [49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48];
    const rank = signedRank(d);
    if (rank.value === null) throw new Error(rank.why);
    expect(rank.value).toBe(96);
    near(rank.p, 0.041259766, 1e-9);
  });

  it("has no 95 % interval below six skaters, where 2/32 is the smallest p", () => {
    const five = hodgesLehmann([0.1, 0.2, 0.3, 0.25, 0.15]);
    expect(five.value !== null && five.interval.value).toBeNull();
    const six = hodgesLehmann([0.1, 0.2, 0.3, 0.25, 0.15, 0.05]);
    if (six.value === null || six.interval.value === null) throw new Error("no interval");
    expect(six.interval.value).toEqual([0.05, 0.3]);
    expect(six.interval.level).toBe(1 - 2 / 64);
  });
});

describe("power of a paired t, both tails (docs/references.md 2.8, R)", () => {
  it.each([
    [6, 0.5, 0.1707070796],
    [6, 1, 0.50684198],
    [8, 0.5, 0.2320770046],
    [8, 0.8, 0.4963820462],
    [8, 1, 0.6808339582],
    [10, 0.5, 0.2931756065],
    [10, 0.8, 0.6162327635],
    [10, 1, 0.8030968566],
    [12, 0.5, 0.3528241493],
    [12, 0.8, 0.7136600656],
    [16, 0.5, 0.4648699556],
    [16, 0.8, 0.8484218103],
    [20, 0.5, 0.5645044184],
    [20, 0.8, 0.9238987554],
  ])("n %i, d_z %d", (n, dZ, want) => {
    near(pairedPower(n, dZ), want, 1e-9);
    near(pairedPower(n, -dZ), want, 1e-9);
  });

  it("counts the far tail, which R leaves out by default", () => {
    expect(Math.abs(pairedPower(6, 0.5) - 0.1693238626)).toBeGreaterThan(1e-3);
  });

  it("says how many skaters reach 80 %", () => {
    near(pairsForPower(0.2, 0.8), 198.150821, 1e-5);
    near(pairsForPower(0.5, 0.8), 33.367129, 1e-5);
    near(pairsForPower(0.8, 0.8), 14.302776, 2e-5);
    expect(pairsForPower(0, 0.8)).toBeNull();
  });
});

describe("mean and SD: NIST StRD (docs/references.md 2.9)", () => {
  it("keeps the digits that double precision can have", () => {
    expect(mean([10000001, 10000003, 10000002])).toBe(10000002);
    expect(standardDeviation([10000001, 10000003, 10000002])).toBe(1);
    const lot = (first: number, low: number, high: number) => [
      first,
      ...Array.from({ length: 1000 }, (_, i) => (i % 2 === 0 ? low : high)),
    ];
    near(mean(lot(1.2, 1.1, 1.3)), 1.2, 1e-13);
    near(standardDeviation(lot(1.2, 1.1, 1.3)), 0.1, 1e-14);
    // NumAcc4: the best that doubles can do is 0.100000000558794.
    near(standardDeviation(lot(10000000.2, 10000000.1, 10000000.3)), 0.1, 1e-8);
  });

  // Michelso: 100 speeds of light, certified SD 0.0790105478190518.
  it("reproduces Michelson's certified mean and SD", () => {
    const data =
      "850 740 900 1070 930 850 950 980 980 880 1000 980 930 650 760 810 1000 1000 960 960 960 940 960 940 880 800 850 880 900 840 830 790 810 880 880 830 800 790 760 800 880 880 880 860 720 720 620 860 970 950 880 910 850 870 840 840 850 840 840 840 890 810 810 820 800 770 760 740 750 760 910 920 890 860 880 720 840 850 850 780 890 840 780 810 760 810 790 810 820 850 870 870 810 740 810 940 950 800 810 870"
        .split(" ")
        .map((v) => 299 + Number(v) / 1000);
    expect(data).toHaveLength(100);
    near(mean(data), 299.8524, 1e-12);
    near(standardDeviation(data), 0.0790105478190518, 1e-13);
  });

  // Norris: certified slope 1.00211681802045 (SD 0.000429796848199937). One skater and 36 techniques make the
  // within-skater line an ordinary one.
  it("reproduces Norris's certified slope", () => {
    const pairs =
      "0.1,0.2 338.8,337.4 118.1,118.2 888.0,884.6 9.2,10.1 228.1,226.5 668.5,666.3 998.5,996.3 449.1,448.6 778.9,777.0 559.2,558.2 0.3,0.4 0.1,0.6 778.1,775.5 668.8,666.9 339.3,338.0 448.9,447.5 10.8,11.6 557.7,556.0 228.3,228.1 998.0,995.8 888.8,887.6 119.6,120.2 0.3,0.3 0.6,0.3 557.6,556.8 339.3,339.1 888.0,887.2 998.5,999.0 778.9,779.0 10.2,11.1 117.6,118.3 228.9,229.2 668.4,669.1 449.2,448.9 0.2,0.5"
        .split(" ")
        .map((pair) => pair.split(",").map(Number) as [number, number]);
    // As NIST tabulates it the first of each pair is y, the second x.
    const line = withinSkater(
      pairs.map(([time, measure], i) => ({ skater: "one", technique: `${i}`, time, measure })),
    );
    if (line.value === null) throw new Error(line.why);
    expect(line.df).toBe(34);
    near(line.value, 1.00211681802045, 1e-12);
    near((line.ci95[1] - line.value) / 2.0322445093177173, 0.000429796848199937, 1e-12); // R qt(.975, 34)
  });
});

describe("time against width within skater (invented; R: lm on means with a level a skater)", () => {
  it("averages repeats first and gives R's slope, interval and correlation", () => {
    const r = reference.within;
    const line = withinSkater(
      r.time.map((time, i) => ({
        skater: r.skater[i]!,
        technique: r.tech[i]!,
        time,
        measure: r.width[i]!,
      })),
    );
    if (line.value === null) throw new Error(line.why);
    near(line.value, r.slope[0]!, 1e-11);
    near(line.ci95[0], r.ci[0]!, 1e-11);
    near(line.ci95[1], r.ci[1]!, 1e-11);
    expect(line.df).toBe(r.df[0]);
    near(line.p, r.p[0]!, 1e-11);
    near(line.r, r.r[0]!, 1e-11);
  });
});

describe("more than two techniques", () => {
  // Shrout & Fleiss (1979), Table 2, as 6 skaters x 4 techniques; R: anova(lm, X = ~1, test = "Spherical").
  it("tests all together, corrected by Greenhouse and Geisser", () => {
    const table = [
      [9, 2, 5, 8],
      [6, 1, 3, 2],
      [8, 4, 6, 8],
      [7, 1, 2, 6],
      [10, 5, 6, 9],
      [6, 2, 4, 7],
    ];
    const test = overallTest(table);
    if (test.value === null) throw new Error(test.why);
    const r = reference.overall;
    near(test.value, r.f[0]!, 1e-10);
    near(test.p, r.p[0]!, 1e-15);
    near(test.epsilon, r.epsilon[0]!, 1e-12);
    near(test.pCorrected, r.pCorrected[0]!, 1e-13);
    expect(test.df).toEqual([3, 15]);
  });

  // Law: with two techniques F is t squared (Student's sleep data, docs/references.md 2.1).
  it("is the paired t squared with two", () => {
    const test = overallTest(SLEEP[0].map((v, i) => [v, SLEEP[1][i]!]));
    near(test.value, 4.06212768338204 ** 2, 1e-10);
    if (test.value !== null) {
      near(test.p, 0.002832890197384, 1e-13);
      near(test.epsilon, 1, 1e-12);
    }
  });

  // By hand, Holm (1979): sorted 0.01, 0.02, 0.04 -> 3 x 0.01, max(., 2 x 0.02), max(., 0.04).
  it("adjusts by Holm and leaves gaps alone", () => {
    expect(holm([0.02, null, 0.04, 0.01])).toEqual([0.04, null, 0.04, 0.03]);
    expect(holm([0.6, 0.7])).toEqual([1, 1]);
    expect(holm([])).toEqual([]);
  });
});
