import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { lengthText, readLength, readLengths } from "../../src/study/length.ts";

/**
 * International yard and pound agreement of 1959, NIST SP 811: foot 0.3048 m, inch 25.4 mm, yard 0.9144 m, all
 * exact [from memory, in every text on units]. The expected metres below are those factors multiplied out by hand.
 */
describe("typed lengths", () => {
  it.each([
    ["1 ft", 0.3048, "ft"],
    ["1 in", 0.0254, "ft"],
    ["1 yd", 0.9144, "ft"],
    ["98 ft", 29.8704, "ft"],
    ["98 ft 5 in", 29.9974, "ft"], // 1181 in x 0.0254 m
    [`98' 5"`, 29.9974, "ft"],
    ["98ft5in", 29.9974, "ft"],
    ["98.5 feet", 30.0228, "ft"],
    ["36 yd", 32.9184, "ft"],
    ["10 yd 2 ft 3 in", 9.8298, "ft"], // 387 in x 0.0254 m
    ["200 ft", 60.96, "ft"], // a 200 ft rink: 200 x 0.3048, not the survey foot's 60.96012
    ["30 m", 30, "m"],
    ["30", 30, "m"],
    [" 30.5 metres ", 30.5, "m"],
    ["183 cm", 1.83, "m"],
    ["1 m 83 cm", 1.83, "m"],
    // ISO 80000-1, 7.3.2: the decimal sign is either a comma or a point on the line.
    ["30,5 m", 30.5, "m"],
    ["7,25", 7.25, "m"],
    ["98,5 ft", 30.0228, "ft"],
  ] as const)("%s is %f m", (text, metres, unit) => {
    const read = readLength(text, "m");
    expect(read.unit).toBe(unit);
    expect(Math.abs(read.metres - metres)).toBeLessThan(1e-12);
  });

  it("takes a bare number in the unit the field is in", () => {
    expect(readLength("100", "ft")).toEqual({ metres: 30.48, unit: "ft" });
  });

  it.each([
    "",
    "m",
    "thirty",
    "30 km/h",
    "-30 m",
    "98 ft 5",
    "5 98 ft",
    "30 m!",
    "1e3 m",
    "30 furlongs",
    "1,000 ft",
    "1,000.5 m",
  ])('refuses "%s" and says how to write it', (text) => {
    expect(() => readLength(text, "m")).toThrow(MeasureError);
    try {
      readLength(text, "m");
    } catch (error) {
      expect((error as MeasureError).coach).toContain("98 ft 5 in");
    }
  });

  it("shows a length in the unit it was typed in, and reads it back as the same", () => {
    expect(lengthText(29.9974, "ft")).toBe("98 ft 5 in");
    expect(lengthText(29.8704, "ft")).toBe("98 ft");
    expect(lengthText(0.0254, "ft")).toBe("1 in");
    expect(lengthText(30, "m")).toBe("30 m");
    for (const inches of [1, 11, 12, 13, 360, 1181, 2400]) {
      const { metres } = readLength(`${inches} in`, "m");
      expect(readLength(lengthText(metres, "ft"), "m").metres).toBeCloseTo(metres, 12);
    }
  });

  it("never shows 12 inches", () => {
    expect(lengthText(readLength("2 ft 11.999 in", "m").metres, "ft")).toBe("3 ft");
  });
});

describe("several lengths in one field", () => {
  it.each([
    ["0 m; 15 m; 30 m", [0, 15, 30]],
    ["0, 30", [0, 30]],
    ["0 and 30", [0, 30]],
    ["0 ft; 120 ft", [0, 36.576]],
    ["0; 7,5; 30", [0, 7.5, 30]],
    ["0 m, 7,5 m", [0, 7.5]],
    ["", []],
  ])("%s", (text, metres) => {
    expect(readLengths(text, "m")).toEqual(metres);
  });

  it.each(["0 30", "0,30", "0,15,30"])("%s: says how, instead of guessing", (text) => {
    expect(() => readLengths(text, "m")).toThrowError(
      expect.objectContaining({ coach: expect.stringContaining("Several: 0 m; 15 m; 30 m") }),
    );
  });
});
