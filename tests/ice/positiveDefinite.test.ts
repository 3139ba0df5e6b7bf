import { describe, expect, it } from "vitest";
import { choleskyFactor, solveFactored } from "../../src/ice/numeric/positiveDefinite.ts";

describe("a symmetric positive definite system", () => {
  it("is solved as numpy.linalg.solve does", () => {
    // numpy 1.24: np.linalg.solve([[4, 12, -16], [12, 37, -43], [-16, -43, 98]], [1, 2, 3]) = [28.58333333, -7.66666667, 1.33333333];
    // by hand: exactly 343/12, -23/3, 4/3.
    const x = [1, 2, 3];
    solveFactored(choleskyFactor([4, 12, -16, 12, 37, -43, -16, -43, 98], 3)!, x);
    expect(x[0]).toBeCloseTo(343 / 12, 10);
    expect(x[1]).toBeCloseTo(-23 / 3, 10);
    expect(x[2]).toBeCloseTo(4 / 3, 10);
  });

  it.each([
    ["singular", [1, 1, 1, 1]],
    ["indefinite", [1, 2, 2, 1]],
    ["not a number", [Number.NaN, 0, 0, 1]],
  ])("is refused where it is %s", (_, matrix) => {
    expect(choleskyFactor(matrix, 2)).toBeNull();
  });
});
