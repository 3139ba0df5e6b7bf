import { describe, expect, it } from "vitest";
import { gradeOf, laneView, onDrawing, onIce } from "../../app/places/plan/camera/laneView.ts";
import { shownNumber, upToWords } from "../../app/places/plan/camera/plannedWords.ts";
import { readSignedLength } from "../../src/study/length.ts";

describe("the lane of the camera drawing", () => {
  const view = laneView(30, 1000);

  it("finds the ice under a place of the drawing again, to a tenth of a metre", () => {
    for (const [x, y] of [
      [-8, 0],
      [12.3, -7.7],
      [40, 15.9],
    ] as const) {
      const p = onDrawing(view, x, y);
      expect(onIce(view, p.x, p.y)).toEqual({ x, y });
    }
  });

  it("shows the skater's left above and the finish to the right", () => {
    expect(onDrawing(view, 30, 0).x).toBeGreaterThan(onDrawing(view, 0, 0).x);
    expect(onDrawing(view, 0, 5).y).toBeLessThan(onDrawing(view, 0, 0).y);
  });

  it("keeps what is dragged out of it inside", () => {
    const out = onIce(view, -500, 5000);
    expect(out.x).toBeCloseTo(-20, 6);
    expect(out.y).toBeCloseTo(-16, 6);
  });

  it("grades by the widest u95 that is still shown: ± 11 cm, 22.5° for arms", () => {
    expect(gradeOf(0.0275, "strideWidth")).toBe("good");
    expect(gradeOf(0.028, "strideWidth")).toBe("fair");
    expect(gradeOf(0.06, "strideWidth")).toBe("rough");
    expect(upToWords("strideWidth", 1)).toMatch(/^± 11\scm$/);
    expect(shownNumber(Math.PI / 18, "armAcross")).toBe("10");
  });
});

describe("places typed for the camera", () => {
  it("may lie behind the start and to the right, with either minus sign, in feet too", () => {
    expect(readSignedLength("-10 m", "m")).toBe(-10);
    expect(readSignedLength("\u221210", "m")).toBe(-10);
    // 1 ft = 0.3048 m exactly (international foot).
    expect(readSignedLength("-10 ft", "m")).toBeCloseTo(-3.048, 12);
    expect(readSignedLength("8", "m")).toBe(8);
  });
});
