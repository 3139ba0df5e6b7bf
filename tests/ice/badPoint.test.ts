import { describe, expect, it } from "vitest";
import { camera, moved, points, refusal, scaleOf } from "./eightPoints.ts";

describe("a bad ice point", () => {
  const p3 = points().find((p) => p.label === "P3")!;

  it("is named with what it disagrees by and how well the others agree", () => {
    const shifted = points(8, 1, 5).map((p) =>
      p.label === "P3" ? { ...p, xPx: p3.xPx + 30, yPx: p3.yPx - 20 } : p,
    );
    const { coach, data } = refusal(shifted);
    const said = /P3 disagrees by (\d+) px; without it the fit is (\d+\.\d) px/.exec(coach)!;
    // √(30² + 20²) = 36 px, seen from a fit of the others that is 1 px uncertain itself
    expect(Number(said[1])).toBeGreaterThan(30);
    expect(Number(said[1])).toBeLessThan(42);
    expect(Number(said[2])).toBeLessThan(1.6);
    expect(data.worst).toBe("P3");
  });

  it("is found even where another one has the largest residual", () => {
    // The far corner of a plane bends to a wrong point until a neighbour looks worse.
    let differs = 0;
    for (const label of ["P1", "P2", "P3", "P4", "P5", "P6", "P7", "P8"]) {
      const at = points().find((p) => p.label === label)!;
      const list = moved(points(), label, { x: at.x + 0.6 });
      const error = refusal(list);
      expect(error.coach).toMatch(new RegExp(`${label} disagrees by .*without it the fit is 0\\.0 px`));
      differs++;
    }
    expect(differs).toBe(8);
  });

  it("warns and says the same where the misfit is small", () => {
    const { warnings } = scaleOf(
      moved(points(), "P4", { xPx: points().find((p) => p.label === "P4")!.xPx + 12 }),
    ).summary;
    expect(warnings.find((w) => w.code === "ice-points-fit-poorly")!.text).toMatch(
      /P4 disagrees by .* px; without it the fit is 0\.0 px/,
    );
  });

  it("is not named among five: too few are left to agree", () => {
    const error = refusal(moved(points(5), "P7", { x: 19 }));
    expect(error.coach).not.toContain("without it");
  });

  it("is not named where all are off: no single one is to blame", () => {
    expect(refusal(points(8, 6, 3)).coach).not.toContain("without it");
  });

  it("weighs by its taped uncertainty: a place known to 30 cm may be 30 cm off", () => {
    const off = moved(points(), "P3", { x: p3.x + 0.3, u: 0.3 });
    const { summary } = scaleOf(off);
    expect(summary.warnings).toEqual([]);
    expect(summary.camera!.focalPx).toBeCloseTo(camera.focalPx, -1);
  });
});
