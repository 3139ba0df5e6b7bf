import { describe, expect, it } from "vitest";
import { madeUpStudy } from "../helpers/madeUpStudy.ts";
import { t975, twoSided, upperF } from "../helpers/plainStatistics.ts";
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
    // With 2 degrees of freedom above, F has the closed form (1 + 2 f / n)^(-n / 2); 1.3.6.7.3: upper 0.05 of F(5, 10) is 3.326.
    for (const [f, n] of [
      [0.3, 1],
      [4.2565, 9],
      [3.1, 60],
      [1.7, 380],
    ] as const)
      expect(Math.abs(upperF(f, 2, n) - (1 + (2 * f) / n) ** (-n / 2))).toBeLessThan(1e-6);
    expect(Math.abs(upperF(3.3258, 5, 10) - 0.05)).toBeLessThan(5e-6);
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
