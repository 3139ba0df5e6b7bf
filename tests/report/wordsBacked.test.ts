import { describe, expect, it } from "vitest";
import { madeUpStudy } from "../helpers/madeUpStudy.ts";
import { t975, twoSided } from "../helpers/plainStatistics.ts";
import { backed } from "./words/backed.ts";

// A blind reader: every sentence of the report about a difference is taken apart, and its numbers and its claim are
// held against what `plainStatistics` makes of the typed times, which shares nothing with the code of the sentences.
// A sentence that no pattern here knows fails the test: nothing is said that nobody checks.

const SEEDS = 60;
/** Of them so many again, told by how arms swing. */
const ARM_SEEDS = 30;
describe("every sentence of the report about a difference", () => {
  it("rests on t quantiles and p as the handbooks have them", () => {
    // NIST/SEMATECH e-Handbook 1.3.6.7.2: upper 0.025 of t with 1, 2, 5, 10, 30 degrees of freedom.
    for (const [df, t] of [
      [1, 12.706],
      [2, 4.303],
      [5, 2.571],
      [10, 2.228],
      [30, 2.042],
    ] as const)
      expect(Math.abs(t975(df) - t)).toBeLessThan(0.0006);
    // Student's sleep data: t -4.0621, 9 degrees of freedom, p 0.002833.
    expect(Math.abs(twoSided(-4.062127683, 9) - 0.00283289)).toBeLessThan(1e-7);
  });

  it.each([
    ...Array.from({ length: SEEDS }, (_, seed) => [seed, "touchdowns"] as const),
    ...Array.from({ length: ARM_SEEDS }, (_, seed) => [seed, "arms"] as const),
  ])("is backed by the numbers of made-up study %i of %s", (seed, of) => {
    backed(madeUpStudy(seed, of === "arms"));
  });
});
