import { describe, expect, it } from "vitest";
import { compareJson } from "../../src/compare/compareJson.ts";
import type { CompareRow } from "../../src/compare/types.ts";
import { pairedRows } from "../helpers/pairedRows.ts";
import { compareTimes } from "./compareTimes.ts";

const row = (
  skater: string,
  technique: string,
  order: number,
  value: number | null,
  valid = true,
): CompareRow => ({
  skater,
  technique,
  order,
  value,
  valid,
});

describe("compareTechniques", () => {
  it("averages each skater's repeats, however many there are", () => {
    const c = compareTimes(pairedRows([[5.0, 5.2], [6]], [[4.8], [5.7, 5.8, 5.9]], ["P", "Q"]));
    expect(c.pairs.map((p) => [p.skater, p.nA, p.nB])).toEqual([
      ["P", 2, 1],
      ["Q", 1, 3],
    ]);
    expect(c.pairs[0]?.difference).toBeCloseTo(4.8 - 5.1, 12);
    expect(c.pairs[1]?.difference).toBeCloseTo(5.8 - 6, 12);
    expect(c.warnings.map((w) => w.code)).toContain("uneven-repeats");
  });

  it("leaves out void trials and trials without a value, and says so", () => {
    const rows = [
      row("P", "a", 1, 5),
      row("P", "b", 2, 4.9),
      row("P", "b", 3, 9.9, false),
      row("Q", "a", 4, 5.1),
      row("Q", "b", 5, null),
      row("R", "c", 6, 5.3),
    ];
    const c = compareTimes(rows);
    expect(c.n).toBe(1);
    expect(c.pairs[0]?.b).toBe(4.9);
    expect(c.leftOut).toEqual([{ skater: "Q", why: "no usable trial with b" }]);
    expect(c.warnings.map((w) => w.code)).toEqual(
      expect.arrayContaining(["void-trials", "no-value", "left-out", "one-skater", "no-repeats"]),
    );
  });

  // Typical error by hand: both cells of P scatter by 0.02 around their mean -> SD of (0, 0.04) = 0.028284; pooled the same.
  // Own interval: t(0.975; 2) x 0.028284 x sqrt(1/2 + 1/2) = 4.302653 x 0.028284 = 0.121698 [t: any table].
  it("judges a skater's own difference by the scatter of his repeats and by what is worth it", () => {
    const near = compareTimes(pairedRows([[5, 5.04]], [[4.9, 4.94]], ["P"]), 0.04).pairs[0]!;
    expect(near.u95.value).toBeCloseTo(4.302652729911275 * 0.0282842712474619, 9);
    expect(near.verdict).toBe("can't tell"); // -0.10 ± 0.12
    const far = (by: number, worth: number) =>
      compareTimes(pairedRows([[5, 5.04]], [[5 + by, 5.04 + by]], ["P"]), worth).pairs[0]!;
    expect(far(-0.2, 0.04).verdict).toBe("faster"); // all of -0.32 to -0.08 is beyond 0.04
    expect(far(0.2, 0.04).verdict).toBe("slower");
    expect(far(-0.15, 0.04).verdict).toBe("can't tell"); // -0.27 to -0.03 reaches into the band
    expect(far(-0.15, 0.04).why.replaceAll("\u00a0", " ")).toBe(
      "probably faster; whether by the 0.04 s that matters, four trials can't say",
    );
    expect(far(-0.01, 0.3)).toMatchObject({ verdict: "can't tell", settles: "not worth it" });
  });

  // ABBA for everybody, no trend: the pool has 6 degrees of freedom, one of them for the trend: t(1 - 0.025/3; 5) =
  // 3.5341 (R: qt). Every pair of repeats lies 0.02 apart: 0.0002 each, sums 6 x 0.0002 over 5.
  it("shares the 5 % of wrong verdicts between skaters", () => {
    const c = compareTimes(
      pairedRows(
        [
          [5, 5.02],
          [5.5, 5.52],
          [6.02, 6],
        ],
        [
          [4.9, 4.92],
          [5.42, 5.4],
          [5.92, 5.9],
        ],
      ),
      0.01,
    );
    // The slope: a moves by 3 places, b by 1: sums of place x value 3 x 0.02/2 x (1 + 1 - 1) + 0.02/2 x (1 - 1 - 1) over 3 x (4.5 + 0.5).
    const slope = (0.03 - 0.01) / 15;
    const sd = Math.sqrt((6 * 0.0002 - slope ** 2 * 15) / 5);
    expect(c.pairs[0]!.u95.value).toBeCloseTo(3.5341 * sd, 5);
  });

  // Q's repeats lie 0.4 and 0.3 s apart where the others' lie 0.02 apart: F with 2 and 7 degrees of freedom is in the
  // hundreds. By the pool Q's 0.35 s would be faster beyond doubt; by the own repeats, 4.3 x 0.25 and more, it is not.
  it("judges a skater whose repeats scatter more than the others' by the own ones, and the pool goes without", () => {
    const steady = [
      [
        [5, 5.02],
        [4.9, 4.92],
      ],
      [
        [5.5, 5.52],
        [5.42, 5.4],
      ],
      [
        [6.02, 6],
        [5.92, 5.9],
      ],
      [
        [4.5, 4.52],
        [4.4, 4.42],
      ],
    ] as const;
    const wild = [
      [5.4, 5.8],
      [5.1, 5.4],
    ] as const;
    const all = [wild, ...steady];
    const c = compareTimes(
      pairedRows(
        all.map((s) => s[0]),
        all.map((s) => s[1]),
        ["Q", "P1", "P2", "P3", "P4"],
      ),
      0.01,
    );
    const [q, ...others] = c.pairs;
    expect(q).toMatchObject({ verdict: "can't tell", scatter: { from: "own", df: 2 } });
    expect(q!.u95.value).toBeGreaterThan(1);
    expect(q!.why.replaceAll("\u00a0", " ")).toMatch(
      /; judged by Q's own repeats, which scatter more than the others' \(0\.24\d* s against 0\.01\d* s\)$/,
    );
    expect(others.filter((p) => p.verdict === "faster").length).toBeGreaterThan(1);
    expect(others.filter((p) => p.scatter.value !== null && p.scatter.from === "all").length).toBeGreaterThan(
      0,
    );
  });

  it("takes 0.2 of the SD between skaters as worth it unless the study says otherwise", () => {
    const rows = pairedRows([[5], [6]], [[5], [6]]);
    // SD of 5 and 6 is 1/sqrt(2)
    expect(compareTimes(rows).smallestWorthwhile).toEqual({
      value: expect.closeTo(0.2 / Math.SQRT2, 12),
      from: "0.2 SD",
    });
    expect(compareTimes(rows, 0.05).smallestWorthwhile).toEqual({ value: 0.05, from: "said" });
    expect(compareTimes(rows.slice(0, 2)).smallestWorthwhile.value).toBeNull();
  });

  it("does not mistake binary rounding for scatter when all skaters differ by the same 0.1 s", () => {
    const c = compareTimes(pairedRows([[4.7], [4.9], [5.3]], [[4.6], [4.8], [5.2]]));
    expect(c.t.value).toBeNull();
    expect(c.meanDifference.value).toBeCloseTo(-0.1, 12);
    expect(c.pSignFlip.value).toBe(0.25);
  });

  it("finds a change from trial to trial and does not take technique for it", () => {
    // Exact law: value = skater + technique + 0.03 x place, so the slope is 0.03 with no scatter left.
    const places = { a: [1, 4], b: [2, 3] };
    const rows = ["P", "Q", "R"].flatMap((skater, s) =>
      (["a", "b"] as const).flatMap((technique) =>
        places[technique].map((place) =>
          row(
            skater,
            technique,
            10 * s + place,
            4.5 + 0.2 * s - (technique === "b" ? 0.1 : 0) + 0.03 * place,
          ),
        ),
      ),
    );
    const c = compareTimes(rows);
    expect(c.orderEffect.value).toBeCloseTo(0.03, 10);
    expect(c.bLaterBy.value).toBe(0);
    expect(c.meanDifference.value).toBeCloseTo(-0.1, 10);
    expect(c.warnings.map((w) => w.code)).not.toContain("order-not-balanced");
  });

  it("warns when one technique was always skated later, also counting void trials as skated", () => {
    const c = compareTimes([row("P", "a", 1, 5), row("P", "b", 2, 9, false), row("P", "b", 3, 4.9)]);
    expect(c.bLaterBy.value).toBe(2);
    expect(c.warnings.find((w) => w.code === "order-not-balanced")?.text).toMatch(/^B was skated later/);
    expect(c.orderEffect.value).toBeNull();
  });

  // Law: the value is skater + technique (-0.1) + 0.03 x place + a little; a trend of 0.03 a place must be found, and
  // where b always comes later the plain difference is off by 0.03 x the places between.
  it("says when trials changed from one to the next, and what is left of the difference without that", () => {
    const skated = (places: { a: number[]; b: number[] }) =>
      compareTimes(
        ["P", "Q", "R", "T"].flatMap((skater, s) =>
          (["a", "b"] as const).flatMap((technique) =>
            places[technique].map((place, k) =>
              row(
                skater,
                technique,
                10 * s + place,
                4.5 + 0.2 * s - (technique === "b" ? 0.1 : 0) + 0.03 * place + (((s + 2 * k) % 3) - 1) / 500,
              ),
            ),
          ),
        ),
      );
    const said = (c: ReturnType<typeof compareTimes>) =>
      c.warnings.find((w) => w.code === "order-trend")?.text.replaceAll("\u00a0", " ");
    expect(said(skated({ a: [1, 4], b: [2, 3] }))).toMatch(
      /became 0\.0\d+ ± .* slower\. The order was balanced/,
    );
    const unbalanced = skated({ a: [1, 2], b: [3, 4] });
    expect(unbalanced.meanDifference.value).toBeCloseTo(-0.1 + 0.03 * 2, 3);
    expect(unbalanced.modelWithPlace.value).toBeCloseTo(-0.1, 2);
    expect(said(unbalanced)).toMatch(
      /not balanced; with a steady change taken out the difference is −0\.(09|10)/,
    );
    expect(
      said(
        compareTimes(
          pairedRows(
            [
              [5, 5.2],
              [6, 6.1],
            ],
            [
              [5.1, 5],
              [6.1, 6],
            ],
          ),
        ),
      ),
    ).toBeUndefined();
  });

  it("gives the same whatever order the rows come in", () => {
    const rows = pairedRows(
      [
        [5, 5.1],
        [6, 6.2],
        [5.5, 5.4],
      ],
      [
        [4.9, 4.8],
        [6.1, 5.9],
        [5.2, 5.3],
      ],
    );
    const sorted = compareJson(compareTimes(rows));
    const shuffled = compareJson(compareTimes([3, 9, 0, 11, 6, 1, 10, 4, 8, 2, 7, 5].map((i) => rows[i]!)));
    expect({
      ...shuffled,
      pairs: shuffled.pairs.slice().sort((x, y) => x.skater.localeCompare(y.skater)),
    }).toEqual(sorted);
  });
});
