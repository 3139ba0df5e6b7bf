import { describe, expect, it } from "vitest";
import { SEASONS, seasonShares } from "./nullSeasons.ts";

// Truth: drawn. Of so few seasons 5 % are up to 10.3 % by chance (mean and three standard errors); `npm run calibrate` runs 2,000.
const FEW = 150;
const MOST = 5 + 300 * Math.sqrt((0.05 * 0.95) / FEW);

describe("what pooling claims of seasons in which techniques make no difference", () => {
  // With evenings - 1 degrees of freedom the second was 12 %; of the third the mean's interval alone misses 0 in 56 %.
  it.each([
    "6 evenings that differ by 0.03 s",
    "10 evenings of the same 3",
    "4 evenings, drift steady, always aabb",
    "3 evenings, clips of 30 frames/s, standing",
    "8 evenings, looked at after 2, 4, 6 and 8",
  ])("is little: %s", (name) => {
    const season = SEASONS.find((s) => s.name === name)!;
    const { settled } = seasonShares(season, FEW, 40 + SEASONS.indexOf(season));
    expect(settled).toBeLessThanOrEqual(MOST);
  });

  // Of two or three evenings these intervals hold 97 to 100 in 100 where evenings differ little; what asks for their width is this.
  // 95 of 150 in 100 are 90.7 to 99.3 by chance (two and a half standard errors); held always, they would be wider than they need be.
  it.each(["2 evenings that differ by 0.4 s", "3 evenings that differ by 0.4 s"])(
    "says of a new skater what holds in 95 of 100, and no more: %s",
    (name) => {
      const season = SEASONS.find((s) => s.name === name)!;
      const { newSkater } = seasonShares(season, FEW, 70);
      expect(newSkater).toBeGreaterThan(90.7);
      expect(newSkater).toBeLessThan(99.3);
    },
  );

  it("is told where there is a difference", () => {
    const season = SEASONS.find((s) => s.name === "6 evenings that differ by 0.03 s")!;
    expect(seasonShares({ ...season, truth: -0.1 }, 60, 9).settled).toBeGreaterThan(80);
  });
});
