import { describe, expect, it } from "vitest";
import type { Mark, WholeStudy } from "../../src/study/types.ts";
import { markingReliability } from "../../src/trials/markingReliability.ts";
import { demoStudy } from "../demo/demoFiles.ts";

const DEMO: WholeStudy = demoStudy();
const TWICE = "aino-close-1";

function withMarks(change: (marks: readonly Mark[]) => readonly Mark[]): WholeStudy {
  const trial = DEMO.marks[TWICE]!;
  return { ...DEMO, marks: { [TWICE]: { ...trial, marks: change(trial.marks) } } };
}

describe("how well marking repeats", () => {
  it("is nothing to be said of while no trial is marked twice", () => {
    expect(markingReliability(withMarks((marks) => marks.filter((m) => m.pass === undefined)))).toBeNull();
  });

  it("finds the demo's trial that is marked twice, and as much scatter as two marks of a stride's width have", () => {
    const found = markingReliability(DEMO);
    expect(found).toMatchObject({ trials: [TWICE], markings: 2 });
    const width = found!.quantities.find((q) => q.quantity === "stride_width_m")!.found;
    if (width.value === null) throw new Error(width.why);
    expect(width.value.n).toBeGreaterThan(5);
    // Marks of 1.2 px from straight ahead, 20 to 48 m away through 4387 px: closed form of the study, section 9:
    // sqrt(0.75) * 1.05 * (s / f) * distance, here 0.5 to 1.2 cm; a typical error of so few strides is within a half.
    expect(width.value.typicalError.value).toBeGreaterThan(0.003);
    expect(width.value.typicalError.value).toBeLessThan(0.018);
  });

  it("is perfect where the second marks are the first, and says that this is no measure", () => {
    const copied = withMarks((marks) => {
      const first = marks.filter((m) => m.pass === undefined);
      return [...first, ...first.map((m) => ({ ...m, pass: 2 }))];
    });
    const width = markingReliability(copied)!.quantities.find((q) => q.quantity === "stride_width_m")!.found;
    if (width.value === null) throw new Error(width.why);
    for (const told of [width.value.typicalError, width.value.mdc95, width.value.limits, width.value.icc])
      expect(told).toMatchObject({ value: null, why: expect.stringMatching(/repeat exactly/) });
  });

  it("shows a second observer who marks everything three pixels to the right as alike in what lies between the blades", () => {
    const shifted = withMarks((marks) => {
      const first = marks.filter((m) => m.pass === undefined);
      return [...first, ...first.map((m) => ({ ...m, pass: 2, observer: "K", xPx: m.xPx + 3 }))];
    });
    const separation = markingReliability(shifted)!.quantities.find(
      (q) => q.quantity === "blade_separation_m",
    )!;
    // Both blades move alike, so what lies between them stays.
    if (separation.found.value === null) throw new Error(separation.found.why);
    expect(separation.found.value.typicalError.value).toBeLessThan(0.001);
  });

  it("says why not where the second marking holds too little", () => {
    const few = withMarks((marks) => [
      ...marks.filter((m) => m.pass === undefined),
      ...marks.filter((m) => m.pass === 2).slice(0, 3),
    ]);
    for (const { found } of markingReliability(few)!.quantities) {
      expect(found).toMatchObject({ value: null, why: expect.stringMatching(/Fewer than 3 strides/) });
    }
  });
});
