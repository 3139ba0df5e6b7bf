import { describe, expect, it } from "vitest";
import { combineRepeats } from "../../src/marks/combineRepeats.ts";
import { markingSd } from "../../src/marks/markingSd.ts";
import { reckonedSds, repeatsOf } from "../../src/marks/markSds.ts";
import { repeatWarnings } from "../../src/marks/repeatWarnings.ts";
import type { Mark } from "../../src/study/types.ts";
import { normal, seeded } from "../helpers/random.ts";

function marks(points: number, passes: number, sdPx: number, random: () => number): Mark[] {
  return Array.from({ length: points }, (_, k) =>
    Array.from(
      { length: passes },
      (_, pass): Mark => ({
        frame: 10 + k,
        time: (10 + k) / 60,
        point: "blade_toe",
        side: "left",
        xPx: 300 + 20 * k + sdPx * normal(random),
        yPx: 500 + 3 * k + sdPx * normal(random),
        pass,
      }),
    ),
  ).flat();
}

describe("repeat marks combined", () => {
  const u = 1.5;
  const one = (px: number) => ({ px, u });

  it("three that agree are their mean", () => {
    expect(combineRepeats([98, 100, 102].map(one)).px).toBeCloseTo(100, 9);
    // Huber (1964): all within 1.345 u of the centre weigh the same
    expect(combineRepeats([99, 100, 101.9].map(one)).px).toBeCloseTo(300.9 / 3, 9);
  });

  it("a slip of 40 px among three pulls by 1.345 u shared by the other two, the mean by 13 px", () => {
    // By hand: (99 − m) + (101 − m) + 1.345 × 1.5 = 0
    expect(combineRepeats([99, 140, 101].map(one)).px).toBeCloseTo(100 + (1.345 * u) / 2, 6);
  });

  it("two that disagree are as doubtful as they are far apart", () => {
    // Birge's ratio of two values of one SD: their mean's u becomes half their distance, whatever was claimed.
    const { px, u } = combineRepeats([
      { px: 100, u: 1.5 },
      { px: 143, u: 1.5 },
    ]);
    expect(px).toBeCloseTo(121.5, 12);
    expect(u).toBeCloseTo(43 / 2, 9);
    const near = combineRepeats([
      { px: 100, u: 1.5 },
      { px: 105, u: 1.5 },
    ]);
    expect(near.u).toBeCloseTo(1.5 / Math.SQRT2, 12);
  });

  it("two are averaged, √2 times surer", () => {
    const both = combineRepeats([one(100), one(104)]);
    expect(both.px).toBe(102);
    expect(both.u).toBeCloseTo(u / Math.SQRT2, 12);
  });

  it("weighs marks by their own uncertainty", () => {
    // Weighted mean, any handbook: (10 / 1 + 15 / 4) / (1 + 1 / 4) = 11
    const both = combineRepeats([
      { px: 10, u: 1 },
      { px: 15, u: 2 },
    ]);
    expect(both.px).toBeCloseTo(11, 12);
    expect(both.u).toBeCloseTo(1 / Math.sqrt(1.25), 12);
  });

  it.each([3, 5, 9])("of %i good marks scatters as stated: 95 %% efficient", (n) => {
    const random = seeded(n);
    let square = 0;
    const runs = 20_000;
    let stated = 0;
    for (let run = 0; run < runs; run++) {
      const { px, u: own } = combineRepeats(Array.from({ length: n }, () => one(u * normal(random))));
      square += px ** 2;
      stated = own;
    }
    const ratio = Math.sqrt(square / runs) / stated;
    // Variance of the mean over that of Huber's at k = 1.345 is 0.95 for many marks, nearer 1 for few (Huber 1964)
    expect(ratio).toBeLessThan(1.015);
    expect(ratio).toBeGreaterThan(0.96);
  });

  it("the order of the marks changes not even the last digit", () => {
    const five = [3.1, -2.7, 0.4, 9.9, 1.3].map(one);
    expect(combineRepeats(five.slice().reverse())).toEqual(combineRepeats(five));
  });
});

describe("marking SD from repeat marks", () => {
  it("is the pooled SD, with its chi-square interval", () => {
    // Ten points marked twice, 2 px apart in x, 1 px in y: sum of squares 10 (2 + 0.5) = 25, 20 degrees of freedom.
    // chi-square 0.025 and 0.975 at 20: 9.590777, 34.169607 (R qchisq)
    const two = Array.from({ length: 10 }, (_, k) =>
      [0, 1].map(
        (pass): Mark => ({
          ...{ frame: k, time: k / 60, point: "hip", side: "right", pass },
          ...{ xPx: 100 + 2 * pass, yPx: 50 + pass },
        }),
      ),
    ).flat();
    const sd = markingSd([two])!;
    expect(sd.sdPx).toBeCloseTo(Math.sqrt(25 / 20), 12);
    expect([sd.points, sd.df]).toEqual([10, 20]);
    expect(sd.low).toBeCloseTo(Math.sqrt(25 / 34.169607), 6);
    expect(sd.high).toBeCloseTo(Math.sqrt(25 / 9.590777), 6);
    // t 0.975 at 20 degrees of freedom 2.085963 (R qt)
    expect(sd.usedPx / sd.sdPx).toBeCloseTo(2.085963 / 1.959964, 5);
  });

  it("needs ten points; single marks and copies do not count", () => {
    const random = seeded(2);
    expect(markingSd([marks(9, 2, 1, random)])).toBeNull();
    expect(markingSd([marks(30, 1, 1, random)])).toBeNull();
    const once = marks(12, 1, 1, random);
    const copied = [...once, ...once.map((m) => ({ ...m, pass: 7 }))];
    expect(markingSd([copied])).toBeNull();
    expect(repeatWarnings(copied, reckonedSds(null, 1.5, false)).map((w) => w.code)).toEqual([
      "repeat-marks-copied",
    ]);
  });

  it("has the truth in its interval in 95 of 100 repeat markings", () => {
    let held = 0;
    const runs = 2000;
    for (let run = 0; run < runs; run++) {
      const { low, high } = markingSd([marks(12, 2, 1.3, seeded(run + 1))])!;
      if (low <= 1.3 && 1.3 <= high) held++;
    }
    // Binomial SE 0.5 %; leaving out slips narrows it a little.
    expect(held / runs).toBeGreaterThan(0.93);
    expect(held / runs).toBeLessThan(0.97);
  });

  it("leaves a slip out, and names two marks that disagree", () => {
    const good = marks(12, 2, 1, seeded(5));
    const slipped = good.map((m, k) => (k === 7 ? { ...m, xPx: m.xPx + 40 } : m));
    const sd = markingSd([slipped])!;
    expect(sd.slips).toEqual(["the left blade's toe end in frame 13"]);
    expect(sd.sdPx).toBeLessThan(1.5);
    const [warning] = repeatWarnings(slipped, reckonedSds(repeatsOf([slipped]), 1, true));
    expect(warning).toMatchObject({
      code: "repeat-marks-disagree",
      text: expect.stringContaining("frame 13"),
    });
  });

  it("says so when marks repeat worse than stated", () => {
    const poor = marks(20, 2, 3, seeded(8));
    const codes = repeatWarnings(poor, reckonedSds(repeatsOf([poor]), 1, true)).map((w) => w.code);
    expect(codes).toContain("marking-worse-than-stated");
  });
});
