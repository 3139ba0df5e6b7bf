import { describe, expect, it } from "vitest";
import { readPairs, readPlace } from "../../app/places/measure/core/readPlace.ts";
import { refusal } from "./fakeStudy.ts";

describe("typed places", () => {
  const typed = { label: "cone 3", along: "-2", across: "5 ft", side: "right", known: "2 cm" } as const;

  it("are read in their own units, left positive, behind the start negative", () => {
    // 5 ft = 1.524 m exactly (docs/references.md 1.1); ± 2 cm at 95 % is a standard uncertainty of 1 cm.
    expect(readPlace(typed, "m")).toEqual({ label: "cone 3", x: -2, y: -1.524, u: 0.01 });
    expect(readPlace({ ...typed, along: "10", across: "4", side: "left" }, "ft")).toMatchObject({
      x: 3.048,
      y: 1.2192,
    });
    expect(readPlace({ ...typed, side: "middle", across: "" }, "m")).toMatchObject({ y: 0 });
    expect(readPlace({ ...typed, along: "-2,5" }, "m")).toMatchObject({ x: -2.5 });
  });

  it("say what is wrong with a bad one", () => {
    expect(refusal(() => readPlace({ ...typed, label: "" }, "m")).coach).toMatch(/name/);
    expect(refusal(() => readPlace({ ...typed, along: "3,5,1" }, "m")).coach).toMatch(/is not a length/);
    expect(refusal(() => readPlace({ ...typed, along: "1,000" }, "ft")).coach).toMatch(/thousands/);
  });

  it("come in pairs along the lane", () => {
    const pairs = readPairs({ from: "0", to: "30", every: "6", across: "1.5" }, "m", "2 cm");
    expect(pairs).toHaveLength(12);
    expect(pairs[0]).toEqual({ label: "0 m left", x: 0, y: 1.5, u: 0.01 });
    expect(pairs.at(-1)).toEqual({ label: "30 m right", x: 30, y: -1.5, u: 0.01 });
    for (const wrong of [{ every: "0" }, { to: "0", from: "5" }, { every: "0.1" }])
      expect(
        refusal(() => readPairs({ from: "0", to: "30", every: "6", across: "1.5", ...wrong }, "m", "")).code,
      ).toBe("bad-pairs");
  });
});
