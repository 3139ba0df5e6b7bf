import { Matrix, solve } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { crossedModel } from "../../src/pool/crossedFit.ts";
import {
  eveningMean,
  leaveOneOut,
  type Pooled,
  poolDifferences,
  type SkaterDifference,
} from "../../src/pool/poolDifferences.ts";
import { t975 } from "../../src/statistics/distributions.ts";
import { median } from "../../src/statistics/median.ts";
import { normal, seeded } from "../helpers/random.ts";
import reference from "../reference/pool.json" with { type: "json" };
import metafor from "../reference/poolMetafor.json" with { type: "json" };

function rowsOf({ study, skater, difference }: (typeof reference.sets)[number]): SkaterDifference[] {
  return study.map((s, i) => ({ study: s, skater: skater[i]!, difference: difference[i]! }));
}

function pooled(rows: readonly SkaterDifference[]): Pooled {
  const found = poolDifferences(rows);
  if (found.value === null) throw new Error(found.why);
  return found;
}

describe("the pooled mean of several evenings", () => {
  // Reference: lme4's lmer on the same sets, the best of several starts (tests/reference/pool.R).
  it("and its standard error are lme4's on 200 made-up sets, or belong to a better optimum", () => {
    expect(reference.sets).toHaveLength(200);
    let same = 0;
    for (const [i, set] of reference.sets.entries()) {
      const rows = rowsOf(set);
      const found = pooled(rows);
      const scale = Math.max(set.se[0]!, 1e-4);
      const off =
        Math.abs(found.value - set.mean[0]!) / scale + Math.abs(found.standardError - set.se[0]!) / scale;
      const sd = Math.abs(found.sdBetweenStudies - set.sd_study[0]!);
      const within = Math.abs(found.sdBetweenSkaters - Math.hypot(set.sd_skater[0]!, set.sd_rest[0]!));
      if (off < 1e-3 && sd < 2e-4 && within < 2e-4) same++;
      else {
        expect(new Set(set.skater).size, `set ${i + 1}`).toBe(rows.length);
        expect(deviance(rows, found), `set ${i + 1}`).toBeLessThanOrEqual(set.criterion[0]! + 1e-6);
      }
    }
    expect(same).toBeGreaterThanOrEqual(196);
  });

  // Reference: metafor's rma.mv, a program for pooling studies by other people, on the same sets (tests/reference/poolMetafor.R).
  it("and its standard error are metafor's, or belong to a better optimum", () => {
    expect(metafor.sets).toHaveLength(200);
    let same = 0;
    for (const [i, set] of metafor.sets.entries()) {
      // It ends in no fit.
      if (!set) continue;
      const rows = rowsOf(reference.sets[i]!);
      const found = pooled(rows);
      const off = (Math.abs(found.value - set.mean) + Math.abs(found.standardError - set.se)) / set.se;
      const sd = Math.abs(found.sdBetweenStudies - set.sd_study);
      const within = Math.abs(found.sdBetweenSkaters - set.sd_within);
      if (off < 1e-3 && sd < 2e-4 && within < 2e-4) same++;
    }
    // One set has no fit there; in few others its criterion or ours is the better by less than a thousandth.
    expect(same).toBeGreaterThanOrEqual(196);
  });

  it("is not given from one evening, nor from one skater each, nor where all are exactly alike; and it is said why", () => {
    const row = (study: string, skater: string, difference: number) => ({ study, skater, difference });
    expect(poolDifferences([row("A", "S1", 1), row("A", "S2", 2)])).toMatchObject({
      value: null,
      why: expect.stringContaining("two evenings"),
    });
    expect(poolDifferences([row("A", "S1", 1), row("B", "S2", 2)])).toMatchObject({
      value: null,
      why: expect.stringContaining("one skater"),
    });
    const alike = ["A", "B"].flatMap((s) => ["1", "2"].map((k) => row(s, s + k, 0.1)));
    expect(poolDifferences(alike)).toMatchObject({ value: null, why: expect.stringContaining("alike") });
    expect(eveningMean([])).toMatchObject({ value: null });
    // 0.11 s three times, but not in binary.
    const evening = [4.61 - 4.5, 4.73 - 4.62, 4.4 - 4.29].map((d, k) => row("A", `${k}`, d));
    expect(eveningMean(evening)).toMatchObject({ value: null, why: expect.stringContaining("alike") });
    expect(leaveOneOut(alike)).toEqual([]);
  });
});

describe("many evenings", () => {
  const season = (evenings: number, who: (evening: number, k: number) => string, seed: number) => {
    const random = seeded(seed);
    const own = new Map<string, number>();
    return Array.from({ length: evenings }, (_, e) => {
      const evening = 0.04 * normal(random);
      return Array.from({ length: 4 }, (_, k): SkaterDifference => {
        const skater = who(e, k);
        if (!own.has(skater)) own.set(skater, 0.05 * normal(random));
        const rest = 0.02 * normal(random);
        return { study: `E${e}`, skater, difference: -0.1 + evening + own.get(skater)! + rest };
      });
    }).flat();
  };

  // Law: the mean is generalised least squares under the variances found, with the covariance matrix written out in full.
  it.each([
    ["few skaters, many evenings", (_: number, k: number) => `S${k}`],
    ["many skaters, few evenings each", (e: number, k: number) => `S${e + 3 * k}`],
    ["nobody twice", (e: number, k: number) => `S${4 * e + k}`],
  ])("are weighed as their covariance says: %s", (_, who) => {
    const rows = season(12, who, 5);
    const found = pooled(rows);
    // The part that is a skater's own is not told from the rest where nobody comes twice, nor needed.
    const model = crossedModel(rows).fit([
      [0, 0.5, 2],
      [0, 0.5, 2],
    ]);
    const twice = new Set(rows.map((r) => r.skater)).size < rows.length;
    const rest = twice ? model!.sigma : found.sdBetweenSkaters;
    const skater = twice ? Math.abs(model!.theta[1]!) * rest : 0;
    const study = twice ? Math.abs(model!.theta[0]!) * rest : found.sdBetweenStudies;
    const law = generalised(rows, { rest, study, skater });
    expect(Math.abs(found.value - law.mean)).toBeLessThan(1e-5);
    expect(Math.abs(found.standardError / law.se - 1)).toBeLessThan(1e-3);
  });

  it.each([
    ["few skaters, many evenings", (e: number, k: number) => `S${(e + k) % 9}`, 9],
    ["many skaters, few evenings each", (e: number, k: number) => `S${(7 * e + k) % 90}`, 84],
    ["nobody twice", (e: number, k: number) => `S${4 * e + k}`, 180],
  ])(
    "leave each evening out as the covariance of the rest says, with the variances held: %s",
    (_, who, people) => {
      const rows = season(45, who, 5);
      expect(new Set(rows.map((r) => r.skater)).size).toBe(people);
      const all = pooled(rows);
      const model = crossedModel(rows).fit([
        [0, 0.5, 2],
        [0, 0.5, 2],
      ])!;
      const rest = people < rows.length ? model.sigma : all.sdBetweenSkaters;
      const skater = people < rows.length ? Math.abs(model.theta[1]!) * rest : 0;
      const study = people < rows.length ? Math.abs(model.theta[0]!) * rest : all.sdBetweenStudies;
      for (const { without, pooled: left } of leaveOneOut(rows).filter((_, i) => i % 11 === 0)) {
        if (left.value === null) throw new Error(left.why);
        const own = rows.filter((r) => r.study !== without);
        const law = generalised(own, { rest, study, skater });
        expect(Math.abs(left.value - law.mean)).toBeLessThan(1e-5);
        const levels = Math.min(44, new Set(own.map((r) => r.skater)).size);
        const half = (left.ci95[1] - left.ci95[0]) / 2;
        // The residual variance is that of the rows left, and not held.
        expect(half / (t975(levels - 1) * law.se)).toBeGreaterThan(0.9);
        expect(half / (t975(levels - 1) * law.se)).toBeLessThan(1.1);
      }
    },
  );

  it("are left out one by one with variances that hardly move", () => {
    const rows = season(60, (e, k) => `S${(e + k) % 9}`, 8);
    for (const { without, pooled: left } of leaveOneOut(rows).filter((_, i) => i % 20 === 0)) {
      const whole = pooled(rows.filter((r) => r.study !== without));
      if (left.value === null) throw new Error(left.why);
      expect(Math.abs(left.value - whole.value)).toBeLessThan(0.1 * whole.standardError);
    }
  });
});

/** Generalised least squares of the mean with the covariance matrix written out in full. */
function generalised(
  rows: readonly SkaterDifference[],
  sd: { readonly rest: number; readonly study: number; readonly skater: number },
): { mean: number; se: number } {
  const v = rows.map((r, i) =>
    rows.map(
      (s, j) =>
        (i === j ? sd.rest ** 2 : 0) +
        (r.study === s.study ? sd.study ** 2 : 0) +
        (r.skater === s.skater ? sd.skater ** 2 : 0),
    ),
  );
  const weights = solve(new Matrix(v), Matrix.ones(rows.length, 1)).to1DArray();
  const sum = weights.reduce((all, w) => all + w, 0);
  return {
    mean: weights.reduce((all, w, i) => all + w * rows[i]!.difference, 0) / sum,
    se: 1 / Math.sqrt(sum),
  };
}

/** REML criterion of skaters seen once or more, from the marginal covariance written out: Patterson & Thompson 1971. */
function deviance(rows: readonly SkaterDifference[], { sdBetweenStudies, sdBetweenSkaters }: Pooled): number {
  // Only for sets where nobody came twice: then the within-evening variance is all one.
  const studies = [...new Set(rows.map((r) => r.study))];
  let [logs, ones, weighted] = [0, 0, 0];
  const parts = studies.map((s) => rows.filter((r) => r.study === s).map((r) => r.difference));
  const [a, b] = [sdBetweenSkaters ** 2, sdBetweenStudies ** 2];
  for (const y of parts) {
    const n = y.length;
    logs += (n - 1) * Math.log(a) + Math.log(a + n * b);
    ones += n / (a + n * b);
    weighted += y.reduce((t, v) => t + v, 0) / (a + n * b);
  }
  const mu = weighted / ones;
  let quadratic = 0;
  for (const y of parts) {
    const n = y.length;
    const r = y.map((v) => v - mu);
    const sum = r.reduce((t, v) => t + v, 0);
    quadratic += (r.reduce((t, v) => t + v * v, 0) - (b * sum * sum) / (a + n * b)) / a;
  }
  return logs + Math.log(ones) + quadratic + (rows.length - 1) * Math.log(2 * Math.PI);
}

describe("its intervals over made-up seasons", () => {
  interface Season {
    readonly evenings: number;
    readonly skaters: number;
    readonly sdEvening: number;
    readonly club: boolean;
  }
  // Truth: drawn from the model; evenings differ or not, skaters come again or not. 95 % is asked, 93 required; wider than honest is bounded by the widths below, 80 to 200 seasons each.
  it.each<Season>([
    { evenings: 3, skaters: 4, sdEvening: 0, club: false },
    { evenings: 4, skaters: 5, sdEvening: 0.05, club: false },
    { evenings: 6, skaters: 3, sdEvening: 0.03, club: false },
    { evenings: 4, skaters: 5, sdEvening: 0.03, club: true },
  ])("hold the truth: %o", ({ evenings, skaters, sdEvening, club }) => {
    const random = seeded(evenings * 1000 + Math.round(100 * sdEvening) + (club ? 7 : 0));
    const seasons = club ? 80 : 200;
    const held = { mean: 0, study: 0, skater: 0 };
    const halves: number[] = [];
    for (let k = 0; k < seasons; k++) {
      const people = Array.from({ length: 8 }, () => 0.05 * normal(random));
      const rows: SkaterDifference[] = [];
      for (let e = 0; e < evenings; e++) {
        const evening = sdEvening * normal(random);
        for (let s = 0; s < skaters; s++) {
          const who = club ? (s + e) % 8 : 100 * e + s;
          const own = club ? people[who]! : 0.05 * normal(random);
          rows.push({
            study: `E${e}`,
            skater: `S${who}`,
            difference: -0.1 + evening + own + 0.03 * normal(random),
          });
        }
      }
      const found = pooled(rows);
      halves.push((found.ci95[1] - found.ci95[0]) / 2);
      if (found.ci95[0] <= -0.1 && found.ci95[1] >= -0.1) held.mean++;
      const inside = (of: Pooled["newSkater"], truth: number) =>
        of.value !== null && of.interval95[0] <= truth && of.interval95[1] >= truth;
      const newEvening = -0.1 + sdEvening * normal(random);
      if (inside(found.newStudy, newEvening)) held.study++;
      if (
        inside(
          found.newSkater,
          -0.1 + sdEvening * normal(random) + 0.05 * normal(random) + 0.03 * normal(random),
        )
      )
        held.skater++;
    }
    expect(held.mean / seasons, "mean").toBeGreaterThanOrEqual(0.93);
    // The true standard error of the mean where nobody comes twice, times t with evenings - 1 (Student's table: 4.303, 3.182, 2.571).
    const t = { 3: 4.303, 4: 3.182, 6: 2.571 }[evenings]!;
    const honest = t * Math.sqrt(sdEvening ** 2 / evenings + (0.05 ** 2 + 0.03 ** 2) / (evenings * skaters));
    expect(median(halves)).toBeLessThan(1.5 * honest);
    expect(held.study / seasons, "a new evening").toBeGreaterThanOrEqual(0.93);
    expect(held.skater / seasons, "a new skater").toBeGreaterThanOrEqual(0.92);
  });
});
