import { describe, expect, it } from "vitest";
import { signFlipP } from "../../src/compare/signFlip.ts";
import { plannedLooks } from "../../src/study/plannedLooks.ts";

/** Differences in the order they come in; no two alike, none a sum of others. */
const SIZES = [0.113, 0.047, 0.201, 0.089, 0.151, 0.029, 0.173, 0.067, 0.131, 0.059, 0.187];

/**
 * Share of all 2^n patterns of signs, each as likely where the techniques make no difference, in which some look calls it a
 * difference: every pattern counted, none drawn.
 */
function wronglyCalled(after: readonly number[], p: number): number {
  const n = after.at(-1)!;
  let wrong = 0;
  for (let pattern = 0; pattern < 2 ** n; pattern++) {
    const differences = SIZES.slice(0, n).map((size, k) => ((pattern >> k) & 1 ? size : -size));
    if (after.some((look) => signFlipP(differences.slice(0, look)) <= p)) wrong++;
  }
  return wrong / 2 ** n;
}

describe("looking several times by plan", () => {
  it("is wrong in 5 % of studies at most with each look's share, and in more where each takes 5 %", () => {
    for (const after of [
      [7, 11],
      [6, 8, 10],
      [7, 8, 9, 10, 11],
    ]) {
      expect(wronglyCalled(after, plannedLooks(after.length).p), after.join()).toBeLessThanOrEqual(0.05);
      expect(wronglyCalled(after, 0.05), after.join()).toBeGreaterThan(0.05);
    }
    expect(wronglyCalled([11], plannedLooks(1).p)).toBeLessThanOrEqual(0.05);
  });

  // 2 / 2^n, by hand: 6 skaters 0.03125, 7 skaters 0.015625, 8 skaters 0.0078125.
  it("takes so many skaters that all agreeing is rare enough", () => {
    expect(plannedLooks(1)).toEqual({ p: 0.05, skaters: 6 });
    expect(plannedLooks(2)).toEqual({ p: 0.025, skaters: 7 });
    expect(plannedLooks(4)).toEqual({ p: 0.0125, skaters: 8 });
    for (const looks of [1, 2, 3, 5, 8]) {
      const { p, skaters } = plannedLooks(looks);
      expect(signFlipP(SIZES.slice(0, skaters)) <= p, `${looks} looks`).toBe(true);
      expect(signFlipP(SIZES.slice(0, skaters - 1)) <= p, `${looks} looks`).toBe(false);
    }
  });
});
