import { describe, expect, it } from "vitest";
import { compareTechniques } from "../../src/compare/compareTechniques.ts";
import { plainWords } from "../../src/compare/plainWords.ts";
import type { CompareRow, Comparison } from "../../src/compare/types.ts";
import type { CompareQuantity } from "../../src/quantities/compared.ts";
import { seededRandom } from "../../src/statistics/seededRandom.ts";

/** Skaters whose second technique differs by so much from 5 s (or 1 m); one trial each. */
function differing(
  by: readonly number[],
  quantity: CompareQuantity = "time_s",
  worthwhile: number | null = null,
) {
  const from = quantity === "time_s" ? 5 : 1;
  const rows: CompareRow[] = by.flatMap((d, i) => [
    {
      skater: `S${i + 1}`,
      technique: "close recovery",
      order: 2 * i + (i % 2 === 0 ? 1 : 2),
      value: from + i / 8,
      valid: true,
    },
    {
      skater: `S${i + 1}`,
      technique: "open recovery",
      order: 2 * i + (i % 2 === 0 ? 2 : 1),
      value: from + i / 8 + d,
      valid: true,
    },
  ]);
  return compareTechniques({ rows, a: "close recovery", b: "open recovery", quantity, worthwhile });
}

/** The same with two trials a technique, half of the skaters starting with each, repeats so far apart. */
function repeated(by: readonly number[], apart: number, worthwhile: number | null) {
  const rows: CompareRow[] = by.flatMap((d, i) =>
    (i % 2 === 0 ? "abba" : "baab").split("").map((t, k) => ({
      ...{ skater: `S${i + 1}`, order: 4 * i + k + 1, valid: true },
      technique: t === "a" ? "close recovery" : "open recovery",
      value: 5 + i / 8 + (t === "a" ? 0 : d) + ((i >> 1) % 2 === 0 ? 1 : -1) * (k < 2 ? 1 : -1) * (apart / 2),
    })),
  );
  return compareTechniques({ rows, a: "close recovery", b: "open recovery", quantity: "time_s", worthwhile });
}

const text = (c: Comparison) =>
  [plainWords(c).headline, ...plainWords(c).support].join(" ").replaceAll("\u00a0", " ");

describe("plainWords", () => {
  // Means and t intervals by hand: -0.21 -0.13 -0.11 -0.10 -0.05 has mean -0.12, SD 0.0583, t(4) 2.776: ± 0.072.
  it("says which was faster only where its skaters' repeats carry it, and that five are too few for others", () => {
    const words = text(differing([-0.21, -0.13, -0.11, -0.1, -0.05], "time_s", 0.04));
    expect(words).toBe(
      "It can’t be told yet which is faster: open recovery was ahead by 0.12 s on average; all five faster with open recovery. " +
        "For these five it is not known how sure this is: nobody repeated a technique. " +
        "For other skaters five are too few (0.120 ± 0.072 s): by chance all five would agree in 1 study of 16. " +
        "Next: let everybody skate each technique at least twice, so that scatter is known.",
    );
  });

  // Each skater's repeats lie 0.01 apart: typical error 0.01/sqrt(2), one of ten degrees of freedom for each cell.
  // These five: t(10) 2.228 x 0.00707 x sqrt(5 x 1)/5 = 0.00705 [t: any table].
  it("says it of these skaters where repeats carry it, then of others, then whether it matters", () => {
    const words = text(repeated([-0.21, -0.13, -0.11, -0.1, -0.05], 0.01, 0.04));
    expect(words).toBe(
      "Open recovery was faster, by 0.12 s on average (all five, 0.05 to 0.21 s). " +
        "Together these five make it clear (0.1200 ± 0.0070 s, from how well each repeats); alone, S5 does not. " +
        "For other skaters five are too few (0.120 ± 0.072 s): by chance all five would agree in 1 study of 16. " +
        "Even the low end for these five, 0.1130 s, is above the 0.04 s that matters. " +
        "Next: one more skater; six who agree can settle it.",
    );
  });

  it("settles it with six and more, and says when a difference is too small to matter", () => {
    const six = [-0.12, -0.13, -0.11, -0.1, -0.14, -0.12];
    expect(text(repeated(six, 0.01, 0.04))).toContain(
      "For skaters like these (0.120 ± 0.015 s): chance alone would do this in 1 study of 32.",
    );
    expect(text(repeated(six, 0.01, 0.2))).toContain(
      "Open recovery was faster, but by too little to matter: 0.120 ± 0.015 s on average, less than the 0.20 s that matters.",
    );
    expect(text(repeated([0.01, -0.01, 0.02, -0.02, 0.01, -0.02], 0.01, 0.04))).toMatch(
      /^Neither is faster by an amount that matters: 0\.002 ± 0\.018 s apart on average, less than the 0\.04 s that matters\./,
    );
  });

  it("says that it depends on the skater where some clearly gain and some clearly lose", () => {
    const words = text(repeated([-0.22, -0.26, -0.24, 0.26, 0.27, 0.26], 0.01, 0.04));
    expect(words).toMatch(
      /^It depends on the skater: S1, S2 and S3 were faster with open recovery \(0\.22 to 0\.26 s\), S4, S5 and S6 were slower with open recovery \(0\.26 to 0\.27 s\), each beyond their own scatter\. The average describes nobody\. Next: choose for each skater/,
    );
  });

  // Everybody AB: order and technique are one thing. AABB with 0.1 s a trial: 0.2 s of the 0.3 s is the day's.
  it("claims nothing where one technique was always skated first", () => {
    const always = compareTechniques({
      rows: [-0.1, -0.12, -0.11].flatMap((d, i) => [
        { skater: `S${i}`, technique: "close recovery", order: 1, value: 5 + i, valid: true },
        { skater: `S${i}`, technique: "open recovery", order: 2, value: 5 + i + d, valid: true },
      ]),
      ...{ a: "close recovery", b: "open recovery", quantity: "time_s", worthwhile: null },
    });
    expect(text(always)).toMatch(
      /^It can’t be told which is faster: open recovery was always skated later, so warming up or tiring can pass for the difference \(open recovery was faster by 0\.11 s\)\. Next: skate it again with the order alternating/,
    );
    const blocks = compareTechniques({
      rows: [0, 1, 2, 3].flatMap((i) =>
        [0, 1, 2, 3].map((k) => ({
          ...{
            skater: `S${i}`,
            technique: k < 2 ? "close recovery" : "open recovery",
            order: k + 1,
            valid: true,
          },
          value: 5 + i - 0.1 * k - (k < 2 ? 0 : 0.1) + ((i + k) % 2) / 200,
        })),
      ),
      ...{ a: "close recovery", b: "open recovery", quantity: "time_s", worthwhile: null },
    });
    expect(text(blocks)).toMatch(
      /^It can’t be told for certain which is faster: open recovery was always skated later\. As it stands it was faster by 0\.30 s; with a steady change from trial to trial taken out, by 0\.100 ± 0\.0\d+ s\./,
    );
  });

  it("has no mean ± narrower than the repeats allow, however alike three skaters are", () => {
    const c = repeated([-0.156, -0.157, -0.157], 0.05, null);
    const [t, own] = [c.meanDifference, c.these];
    if (t.value === null || "why" in t.ci95 || own.value === null || c.general.value === null)
      throw new Error("none");
    // 0.05 s between repeats: typical error 0.0354, six degrees of freedom: 2.447 x 0.0354 x sqrt(3)/3 = 0.04995.
    expect(own.u95).toBeCloseTo(0.04995, 4);
    expect((t.ci95[1] - t.ci95[0]) / 2).toBeLessThan(0.002);
    expect(c.general).toMatchObject({ from: "repeats", u95: own.u95 });
    expect(text(c)).not.toMatch(/± 0\.00\d/);
  });

  it.each<[name: string, by: number[], expected: RegExp]>([
    ["nobody", [], /^Nobody can be compared yet\./],
    [
      "one skater",
      [-0.2],
      /^It can’t be told yet which is faster for S1: open recovery was ahead by 0\.20 s\. One skater says nothing about others, and/,
    ],
    ["one skater who tied", [0], /^S1 skated close recovery and open recovery in the same time\./],
    [
      "two who agree",
      [0.1, 0.2],
      /close recovery was ahead by 0\.15 s .*by chance both would agree in 1 study of 2\./,
    ],
    ["all tied", [0, 0, 0], /^All three skated close recovery and open recovery in the same time\./],
    ["all alike", [-0.1, -0.1, -0.1], /open recovery was ahead by 0\.10 s on average; all three faster/],
    [
      "six who agree",
      [-0.1, -0.2, -0.15, -0.12, -0.18, -0.1],
      /^Open recovery was faster, by 0\.142 s on average \(all six, 0\.10 to 0\.20 s\)\..*in 1 study of 32\./,
    ],
    [
      "seven who don't",
      [-0.1, 0.1, -0.12, 0.11, 0.02, -0.03, 0.05],
      /^It can’t be told yet which is faster: .*; four of seven faster with close recovery, three slower\..*it is open/,
    ],
  ])("%s", (_, by, expected) => expect(text(differing(by))).toMatch(expected));

  it("uses each quantity's own words", () => {
    expect(text(differing([0.2, 0.31], "stride_width_m"))).toMatch(
      /stride width was larger with open recovery by 0\.255 m on average; both larger with open recovery\./,
    );
    expect(text(differing([-0.2, -0.31], "stride_rate_hz"))).toMatch(
      /stride rate was lower with open recovery by 0\.255 \/s/,
    );
  });

  it("leaves it open when the tests disagree", () => {
    // Darwin's maize in inches x 8 (Fisher 1935): t 4.97 %, sign-flip 5.27 %: 1 in 18.97.
    const maize = [49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48].map((d) => d / 8);
    expect(text(differing(maize))).toMatch(
      /For other skaters it is open .*chance alone would do this in 1 study of 18\./,
    );
  });

  it("is short: never more than 90 words", () => {
    const random = seededRandom(20261125);
    for (let round = 0; round < 120; round++) {
      const n = 1 + Math.floor(random() * 10);
      const lean = random() - 0.5;
      const by = Array.from({ length: n }, () => Math.round((random() - 0.5 + lean) * 40) / 100);
      const words = text(repeated(by, random() < 0.5 ? 0.02 : 0.1, random() < 0.5 ? 0.04 : null));
      expect(words.split(/\s+/).length, words).toBeLessThanOrEqual(90);
      expect(words).not.toMatch(/NaN|Infinity|undefined|null|prove|significant/);
    }
  });
});
