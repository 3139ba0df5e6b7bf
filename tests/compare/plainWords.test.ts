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
    { skater: `S${i + 1}`, technique: "close recovery", order: 2 * i + 1, value: from + i / 8, valid: true },
    {
      skater: `S${i + 1}`,
      technique: "open recovery",
      order: 2 * i + 2,
      value: from + i / 8 + d,
      valid: true,
    },
  ]);
  return compareTechniques({ rows, a: "close recovery", b: "open recovery", quantity, worthwhile });
}

const text = (c: Comparison) =>
  [plainWords(c).headline, ...plainWords(c).support].join(" ").replaceAll("\u00a0", " ");

describe("plainWords", () => {
  // Means and t intervals by hand: -0.21 -0.13 -0.11 -0.10 -0.05 has mean -0.12, SD 0.0583, t(4) 2.776: ± 0.072.
  it("says that all five were faster, and that five cannot settle it", () => {
    const words = text(differing([-0.21, -0.13, -0.11, -0.1, -0.05], "time_s", 0.04));
    expect(words).toContain(
      "All five skated open recovery faster, by 0.05 to 0.21 s (mean 0.120 ± 0.072 s).",
    );
    expect(words).toContain(
      "Five skaters cannot settle it alone: even all five agreeing happens by chance once in 16 (sign-flip p = 0.063, the smallest five skaters can give). One more who agrees would bring that to once in 32. The two tests disagree: t alone gives p = 0.010, but it takes for granted how differences spread, which five skaters cannot show.",
    );
    expect(words).toContain(
      "−0.192 to −0.048 s, lies wholly beyond what is too small to be worth it (± 0.04 s)",
    );
    const stricter = text(differing([-0.21, -0.13, -0.11, -0.1, -0.05], "time_s", 0.06));
    expect(stricter).toContain("also holds differences too small to be worth it (± 0.06 s)");
  });

  it("says how many were faster and how many slower when they disagree", () => {
    const words = text(differing([-0.21, -0.1, 0.08, -0.05, 0]));
    expect(words).toMatch(
      /^Three of five skated open recovery faster, by 0\.05 to 0\.21 s; one slower, by 0\.08 s; one the same \(mean .* faster, so either way is possible\)\./,
    );
    expect(words).toContain("they did not agree as clearly as that");
    expect(words).not.toContain("All five skated");
  });

  it.each<[name: string, by: number[], expected: RegExp]>([
    ["nobody", [], /^Nobody can be compared yet\./],
    [
      "one skater",
      [-0.2],
      /^S1 skated open recovery faster, by 0\.20 s\. One skater says nothing about others\./,
    ],
    ["one skater who tied", [0], /^S1 skated close recovery and open recovery in the same time\./],
    [
      "two who agree",
      [0.1, 0.2],
      /^Both skated open recovery slower, by 0\.10 to 0\.20 s.*both agreeing happens by chance once in 2 \(sign-flip p = 0\.50, the smallest two skaters can give\)/,
    ],
    ["all tied", [0, 0, 0], /^All three skated close recovery and open recovery in the same time\./],
    ["all alike", [-0.1, -0.1, -0.1], /^All three skated open recovery faster, by 0\.10 s\./],
    ["a very small difference", [-0.002, -0.21], /by 0\.002 to 0\.210 s/],
    [
      "six who agree",
      [-0.1, -0.2, -0.15, -0.12, -0.18, -0.1],
      /about once in 32 \(p = 0\.031, the smallest six skaters can give\)/,
    ],
    [
      "seven who don't",
      [-0.1, 0.1, -0.12, 0.11, 0.02, -0.03, 0.05],
      /^Four of seven skated open recovery slower.*This does not settle it/,
    ],
  ])("%s", (_, by, expected) => expect(text(differing(by))).toMatch(expected));

  it("uses each quantity's own words", () => {
    expect(text(differing([0.2, 0.31], "stride_width_m"))).toMatch(
      /^Both had a larger stride width with open recovery, by 0\.20 to 0\.31 m/,
    );
    expect(text(differing([-0.2, -0.31], "stride_rate_hz"))).toMatch(/^Both had a lower stride rate .* \/s/);
  });

  // Two skaters 0.1 m apart in opposite ways: mean 0, and -0.0004 with the third; t(2) and t(1) intervals hold 0 by far.
  it("gives no direction to a mean of nothing, and none for certain to one whose interval holds 0", () => {
    expect(text(differing([0.1, -0.1], "stride_width_m"))).toMatch(/\(mean difference 0\.0 ± 1\.3 m\)/);
    const slight = text(differing([0.1, -0.0999, 0.0002, 0.001], "stride_width_m"));
    expect(slight).toMatch(/\(mean difference 0\.00 ± 0\.13 m\)/);
    expect(slight).not.toMatch(/0\.00 ± [^)]*(smaller|larger)/);
    expect(text(differing([0.12, -0.05, 0.03, 0.02]))).toMatch(
      /\(mean 0\.03 ± 0\.11 s slower, so either way is possible\)/,
    );
  });

  it("says when the tests disagree", () => {
    // Darwin's maize in inches x 8 (Fisher 1935): t 4.97 %, sign-flip 5.27 %.
    const maize = [49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48].map((d) => d / 8);
    expect(text(differing(maize))).toContain("opposite sides of 1 in 20 (t p = 0.050, sign-flip p = 0.053)");
  });

  it("never contradicts the numbers, whatever they are", () => {
    const random = seededRandom(20261125);
    const WORDS = ["none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    for (let round = 0; round < 600; round++) {
      const n = 1 + Math.floor(random() * 10);
      const lean = random() - 0.5;
      const by = Array.from({ length: n }, () => Math.round((random() - 0.5 + lean) * 40) / 100);
      const c = differing(by, "time_s", random() < 0.5 ? 0.04 : null);
      const words = text(c);
      const faster = by.filter((d) => d < 0).length;
      const slower = by.filter((d) => d > 0).length;
      const said = (group: string) => {
        const found = new RegExp(`(\\w+) (?:of \\w+ skated open recovery )?${group}`, "i").exec(
          plainWords(c).headline,
        );
        return found ? WORDS.indexOf(found[1]!.toLowerCase()) : 0;
      };
      const all = /^(All|Both|S1) .*(faster|slower)/.exec(plainWords(c).headline);
      if (all) expect(all[2] === "faster" ? faster : slower, words).toBe(n);
      else if (faster + slower > 0) expect([said("faster"), said("slower")], words).toEqual([faster, slower]);
      if (n > 1)
        expect(/cannot settle it|does not settle it/.test(words), words).toBe(!(n >= 6 && settled(c)));
      const beyond = words.includes("wholly beyond");
      const ci = c.meanDifference.value === null ? null : c.meanDifference.ci95;
      const band = c.smallestWorthwhile.value;
      if (ci && !("why" in ci) && band !== null) expect(beyond, words).toBe(ci[0] > band || ci[1] < -band);
      else expect(beyond).toBe(false);
      expect(words).not.toMatch(/NaN|Infinity|undefined|null|prove|significant/);
    }
  });

  /** Both tests, each where it exists, at or below 0.05. */
  function settled(c: Comparison): boolean {
    return [c.pT.value, c.pSignFlip.value].every((p) => p === null || p <= 0.05);
  }
});
