import { describe, expect, it } from "vitest";
import { planSize, planWords } from "../../src/compare/planSize.ts";

describe("how many skaters and repeats settle a difference", () => {
  // response 0 and typical error 0.05 s, r repeats: SD = 0.05 sqrt(2 / r), so r = 2 gives 0.05 and d_z = difference / 0.05.
  // n for power 0.80, both tails [computed: R, docs/references.md 2.8]: d_z 0.2 198.15, 0.5 33.37, 0.8 14.30.
  it.each([
    [0.01, 199],
    [0.025, 34],
    [0.04, 15],
  ])("%d s with two repeats and a typical error of 0.05 s takes %i skaters", (difference, skaters) => {
    const rows = planSize({ difference, typicalError: 0.05, response: 0, power: 0.8 });
    const two = rows.find((r) => r.repeats === 2)!;
    expect(two.sd).toBeCloseTo(0.05, 12);
    expect(two.skaters).toBe(skaters);
    expect(two.trials).toBe(4 * skaters);
    expect(two.power).toBeGreaterThanOrEqual(0.8);
  });

  it("never says fewer than six, the fewest a sign-flip can settle anything with", () => {
    const rows = planSize({ difference: 1, typicalError: 0.05, response: 0.01, power: 0.8 });
    expect(rows.map((r) => r.skaters)).toEqual([6, 6, 6, 6, 6]);
    expect(rows[0]?.smallestP).toBe(0.03125);
  });

  it("repeats help less and less where skaters truly differ", () => {
    const skaters = planSize({ difference: 0.05, typicalError: 0.05, response: 0.05, power: 0.8 }).map(
      (r) => r.skaters!,
    );
    expect(skaters).toEqual(skaters.toSorted((x, y) => y - x));
    // Without end of repeats d_z is 1: ten skaters have 0.803 [computed: R].
    expect(skaters.at(-1)).toBeGreaterThanOrEqual(10);
    expect(
      planSize({ difference: 0.05, typicalError: 1e-9, response: 0.05, power: 0.8 }).map((r) => r.skaters),
    ).toEqual([10, 10, 10, 10, 10]);
  });

  it("says when no number that can be asked would do", () => {
    const [row] = planSize({ difference: 0.0001, typicalError: 0.05, response: 0.05, power: 0.8 });
    expect(row).toMatchObject({ skaters: null, power: null, trials: null });
  });

  it.each([
    { difference: 0, typicalError: 0.05, response: 0 },
    { difference: Number.NaN, typicalError: 0.05, response: 0 },
    { difference: 0.1, typicalError: 0, response: 0 },
    { difference: 0.1, typicalError: -1, response: 0 },
  ])("refuses %j in words", (request) => {
    expect(() => planSize({ ...request, power: 0.8 })).toThrow(expect.objectContaining({ code: "bad-plan" }));
  });

  // d_z = 0.05 / sqrt(0.05^2 / 1) with two repeats and no response = 1; six skaters 0.5068 [computed: R].
  it("says in words what so many skaters can and cannot do", () => {
    const request = { difference: 0.05, typicalError: 0.05, response: 0, power: 0.8 };
    const six = planWords(request, 6, 2, "s").join(" ").replaceAll("\u00a0", " ");
    expect(six).toContain("true difference of 0.05 s by t test in 51 of 100 such studies");
    expect(six).toContain("If all six agree, the sign-flip gives p = 0.031.");
    expect(planWords(request, 3, 2, "s").join(" ")).toMatch(
      /Three skaters cannot settle anything alone.*p = 0\.25/,
    );
    expect(planWords(request, 1, 2, "s").join(" ")).toMatch(/says nothing about others/);
  });
});
