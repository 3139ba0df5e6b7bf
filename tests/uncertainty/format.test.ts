import { describe, expect, it } from "vitest";
import { formatNumber, formatReading, placesFor, withUnit } from "../../src/uncertainty/format.ts";

// Two significant digits of the uncertainty, value to the same place: JCGM 100:2008 7.2.6, common practice.
describe("formatReading", () => {
  const NB = "\u00a0";
  it.each([
    [1.27912, 0.02187, "m", `1.279 ± 0.022${NB}m`],
    [3.0613, 0.1042, "Hz", `3.06 ± 0.10${NB}Hz`],
    [-0.03149, 0.0452, "m", `\u22120.031 ± 0.045${NB}m`],
    [1.2, 0.0996, "m", `1.20 ± 0.10${NB}m`],
    [1506.9, 18.65, "px", `1507 ± 19${NB}px`],
    [1506.9, 123.4, "px", `1510 ± 120${NB}px`],
    [64.2, 6.04, "°", "64.2° ± 6.0°"],
    [0.5, 0.25, "", "0.50 ± 0.25"],
  ])("%f ± %f %s", (value, u95, unit, want) => {
    expect(formatReading({ value, u95 }, unit)).toBe(want);
  });

  it("says why where there is no value", () => {
    expect(formatReading({ value: null, why: "no hips marked" }, "m")).toBe("no hips marked");
  });

  // Halves away from zero (ISO 80000-1, annex B.3, rule B), of the decimal that is meant: every thousandth that ends in 5.
  it("rounds halves away from zero in decimal, whatever means and differences make of them in binary", () => {
    for (let k = 5; k < 6000; k += 10) {
      const decimal = `${Math.floor((k + 5) / 1000)}.${String(((k + 5) % 1000) / 10).padStart(2, "0")}`;
      for (const value of [k / 1000, 4.6 + k / 1000 - 4.6, (4.6 + 2 * (k / 1000) + 4.6) / 2 - 4.6])
        expect(formatNumber(value, 2), String(k)).toBe(decimal);
      expect(formatNumber(-k / 1000, 2)).toBe(`\u2212${decimal}`);
    }
    expect([formatNumber(0.055, 2), formatNumber(-0.115, 2), formatNumber(0.145, 2)]).toEqual([
      "0.06",
      "\u22120.12",
      "0.15",
    ]);
    expect([formatNumber(1235, -1), formatNumber(0.1149, 2), formatNumber(0, 2)]).toEqual([
      "1240",
      "0.11",
      "0.00",
    ]);
    expect([formatNumber(4.6249999, 3), formatNumber(123456789012.25, 1), formatNumber(Infinity, 1)]).toEqual(
      ["4.625", "123456789012.3", "Infinity"],
    );
  });

  it("never prints a negative zero, and leaves infinite doubt readable", () => {
    expect(formatNumber(-0.0004, 3)).toBe("0.000");
    expect(formatNumber(-0.0006, 3)).toBe("\u22120.001");
    expect(placesFor(0)).toBe(3);
    expect(withUnit("4", "°")).toBe("4°");
  });
});
