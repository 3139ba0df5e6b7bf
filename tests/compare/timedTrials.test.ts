import { describe, expect, it } from "vitest";
import { compareTechniques } from "../../src/compare/compareTechniques.ts";
import { plainWords } from "../../src/compare/plainWords.ts";
import { readLength } from "../../src/study/length.ts";
import { near } from "../helpers/near.ts";
import { pairedRows } from "../helpers/pairedRows.ts";

/**
 * Timed trials of three skaters over 120 ft, one trial each; common practice, no source. The statistics follow from
 * the six times by the textbook paired t [computed: R].
 */
function compared(a: readonly number[], b: readonly number[]) {
  const cells = (times: readonly number[]) => times.map((time) => [time]);
  const c = compareTechniques({
    rows: pairedRows(cells(a), cells(b)),
    a: "a",
    b: "b",
    quantity: "time_s",
    worthwhile: null,
  });
  if (c.meanDifference.value === null || "why" in c.meanDifference.ci95) throw new Error("no interval");
  const words = plainWords(c);
  const text = [words.headline, ...words.support].join(" ").replaceAll("\u00a0", " ");
  return { c, ci95: c.meanDifference.ci95, text };
}

it("120 ft are exactly 36.576 m", () => expect(readLength("120 ft", "m").metres).toBe(36.576));

describe("recovery to the midline against wide stride with quick recovery", () => {
  const { c, ci95, text } = compared([5.04, 5.1, 5.12], [4.75, 4.65, 4.42]);

  it("has the numbers", () => {
    [-0.29, -0.45, -0.7].forEach((d, i) => {
      near(c.pairs[i]?.difference, d, 1e-12);
    });
    near(c.meanDifference.value, -0.48, 1e-12);
    near(c.sd.value, 0.20664, 1e-6);
    near(c.t.value, -4.023351, 1e-6);
    expect(c.df.value).toBe(2);
    near(c.pT.value, 0.056584, 1e-6);
    near(ci95[0], -0.993322, 1e-6);
    near(ci95[1], 0.033322, 1e-6);
    expect([c.pSignFlip.value, c.smallestPSignFlip.value]).toEqual([0.25, 0.25]);
  });

  it("says how much faster they were, and that three are too few for others", () => {
    expect(text).toContain("can pass for the difference (b was faster by 0.48 s)");
    expect(text).toContain("Next: skate it again with the order alternating");
  });
});

describe("arms forward and back against side to side", () => {
  const { c, ci95, text } = compared([5.12, 4.89, 4.97], [4.79, 4.73, 4.65]);

  it("has the numbers", () => {
    [-0.33, -0.16, -0.32].forEach((d, i) => {
      near(c.pairs[i]?.difference, d, 1e-12);
    });
    near(c.meanDifference.value, -0.27, 1e-12);
    near(c.sd.value, 0.095394, 1e-6);
    near(c.t.value, -4.902343, 1e-6);
    near(c.pT.value, 0.03918, 1e-6);
    near(ci95[0], -0.506972, 1e-6);
    near(ci95[1], -0.033028, 1e-6);
    expect(c.pSignFlip.value).toBe(0.25);
  });

  it("does not let t alone settle it", () => {
    expect(text).toContain("can pass for the difference (b was faster by 0.27 s)");
    expect(text).toContain("Next: skate it again with the order alternating");
    expect(c.warnings.map((w) => w.code)).toContain("tests-disagree");
  });
});
