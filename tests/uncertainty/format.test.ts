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

  it("never prints a negative zero, and leaves infinite doubt readable", () => {
    expect(formatNumber(-0.0004, 3)).toBe("0.000");
    expect(formatNumber(-0.0006, 3)).toBe("\u22120.001");
    expect(placesFor(0)).toBe(3);
    expect(withUnit("4", "°")).toBe("4°");
  });
});
