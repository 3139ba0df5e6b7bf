import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { butterworth, gain, zeroLag } from "../../src/marks/butterworth.ts";
import { localPolynomial } from "../../src/marks/localPolynomial.ts";
import { residualCutoff } from "../../src/marks/residualCutoff.ts";

/** Numbers of docs/references.md 5 [computed: scipy], and of tests/reference/signals.py, run with Debian's SciPy 1.10.1. */
const scipy = JSON.parse(readFileSync(new URL("../reference/signals.json", import.meta.url), "utf8"));

function close(got: readonly number[], want: readonly number[], tolerance: number) {
  expect(got).toHaveLength(want.length);
  got.forEach((g, k) => {
    expect(Math.abs(g - want[k]!)).toBeLessThan(tolerance);
  });
}

it("close() can fail", () => {
  expect(() => close([1, 2.1], [1, 2], 0.01)).toThrow();
  expect(() => close([1], [1, 2], 0.01)).toThrow();
});

// docs/references.md 5.2: fs 60 Hz, 40 samples
const SAMPLES = [
  0.1263, 0.4564, 0.734, 0.9201, 1.0469, 1.0785, 1.0696, 1.0218, 0.9396, 0.8853, 0.8347, 0.8342, 0.8596,
  0.8769, 0.9056, 0.8822, 0.8254, 0.7007, 0.4835, 0.2209, -0.1087, -0.4383, -0.756, -1.0504, -1.255, -1.3929,
  -1.4188, -1.3596, -1.2528, -1.0833, -0.9185, -0.7432, -0.596, -0.5056, -0.4299, -0.397, -0.348, -0.3012,
  -0.197, -0.0418,
];
// A: 6 Hz, uncorrected; B: Winter-corrected
const OUT_A = [
  0.126581831061, 0.405992020186, 0.65504102739, 0.850395934408, 0.980100376066, 1.044300636199,
  1.053304083526, 1.024160317332, 0.976758536891, 0.929785347472, 0.896842936287, 0.883555085144,
  0.886492322406, 0.894265837275, 0.890192945698, 0.85566327927, 0.77378124843, 0.632975328962, 0.43009528948,
  0.172042420102, -0.124758785127, -0.436781778485, -0.736932882428, -0.998389211867, -1.198440827979,
  -1.322034316495, -1.364197811498, -1.330557732737, -1.235667434145, -1.099826193633, -0.945346360671,
  -0.792773221724, -0.657416302623, -0.54669281685, -0.459244444621, -0.38648319079, -0.316165823312,
  -0.237119617205, -0.143891311338, -0.039245587149,
];
const OUT_B = [
  0.126219639456, 0.425711474884, 0.688934735427, 0.889340579075, 1.015126690895, 1.068813452661,
  1.063773616804, 1.019870314401, 0.959477690987, 0.903538942964, 0.867311930457, 0.856901417328,
  0.867980217763, 0.88737147294, 0.896346384761, 0.87418440346, 0.801804045149, 0.665615850814,
  0.461324455033, 0.196107981743, -0.112104175674, -0.437698961969, -0.751436119479, -1.024331592435,
  -1.231548070106, -1.356468766205, -1.393785964458, -1.350243360548, -1.242460578315, -1.093089859783,
  -0.92685436835, -0.766729025198, -0.630114069274, -0.52524798245, -0.449463204274, -0.390679638043,
  -0.331743768159, -0.256831721653, -0.158703914554, -0.043285554818,
];
// docs/references.md 5.3: residuals for 1 to 20 Hz
const RESIDUALS = [
  0.432395626181, 0.144274911651, 0.05747230265, 0.022691284667, 0.01049119053, 0.005988845625,
  0.004227572806, 0.003548500858, 0.003281162898, 0.003151881676, 0.003065575965, 0.00299428552,
  0.002930386518, 0.002871185151, 0.002815071269, 0.002760937521, 0.002708142577, 0.002656415022,
  0.00260570235, 0.002556045104,
];

describe("Butterworth of second order", () => {
  it("has Winter's coefficients at a tenth of the sampling rate", () => {
    // docs/references.md 5.1: 0.06746, 0.13491, 0.06746, 1.14298, −0.41280; 5.2 A to 15 digits
    const { b, a } = butterworth(6, 60, 1);
    close(b, [0.067455273889072, 0.134910547778144, 0.067455273889072], 1e-14);
    close(a, [1, -1.142980502539901, 0.412801598096189], 1e-14);
  });

  it("moves the cutoff for two passes as Winter does", () => {
    // docs/references.md 5.2 B; C = 0.802 243 262 923 (5.1)
    const { b, a } = butterworth(6, 60, 2);
    close(b, [0.094446743884851, 0.188893487769701, 0.094446743884851], 1e-14);
    close(a, [1, -0.962641308844207, 0.340428284383609], 1e-14);
    expect((2 ** (1 / 2) - 1) ** (1 / 4)).toBeCloseTo(0.802243262923, 12);
  });

  it("has half power at the cutoff after two passes; without the correction a quarter", () => {
    // docs/references.md 5.1: gain 0.707 106 781 corrected, 0.5 uncorrected
    expect(gain(butterworth(6, 60, 2), 6, 60) ** 2).toBeCloseTo(Math.SQRT1_2, 12);
    expect(gain(butterworth(6, 60, 1), 6, 60) ** 2).toBeCloseTo(0.5, 12);
  });

  it.each(
    scipy.filters as {
      cutoff: number;
      rate: number;
      passes: 1 | 2;
      b: number[];
      a: number[];
      at: number[];
      gain: number[];
    }[],
  )(
    "agrees with SciPy at $cutoff Hz of $rate Hz, $passes passes: coefficients and response",
    ({ cutoff, rate, passes, b, a, at, gain: gains }) => {
      const filter = butterworth(cutoff, rate, passes);
      close(filter.b, b, 1e-13);
      close(filter.a, a, 1e-13);
      close(
        at.map((f) => gain(filter, f, rate)),
        gains,
        1e-12,
      );
    },
  );

  it("refuses a cutoff the frame rate can't carry", () => {
    expect(() => butterworth(30, 60, 2)).toThrow(/between 0 and 30/);
    expect(() => butterworth(Number.NaN, 60, 2)).toThrow(/cutoff/);
  });
});

describe("forward and backward", () => {
  it("gives docs/references.md 5.2 A and B", () => {
    close(zeroLag(SAMPLES, butterworth(6, 60, 1)), OUT_A, 2e-12);
    close(zeroLag(SAMPLES, butterworth(6, 60, 2)), OUT_B, 2e-12);
  });

  it("gives SciPy's filtfilt", () => {
    const { samples, rate, cutoff, out } = scipy.zeroLag;
    close(zeroLag(samples, butterworth(cutoff, rate, 2)), out, 1e-12);
  });

  it("leaves a straight line and its ends as they are, and delays nothing", () => {
    const line = Array.from({ length: 30 }, (_, k) => 2 + 0.3 * k);
    // The filter starts as if the first value had stood for ever, which at the ends shows a little.
    const straight = zeroLag(line, butterworth(6, 60, 2));
    close(straight, line, 0.01);
    close(straight.slice(8, -8), line.slice(8, -8), 1e-4);
    const bump = Array.from({ length: 61 }, (_, k) => Math.exp(-(((k - 30) / 6) ** 2)));
    const smooth = zeroLag(bump, butterworth(6, 60, 2));
    expect(smooth.indexOf(Math.max(...smooth))).toBe(30);
    close(smooth, smooth.slice().reverse(), 1e-4);
  });

  it("refuses a track too short for its ends", () => {
    expect(() => zeroLag([1, 2, 3], butterworth(6, 60, 2))).toThrow(/more than 9/);
  });
});

describe("residual analysis", () => {
  // docs/references.md 5.3: 240 samples at 120 Hz, noise from a linear congruential generator
  let s = 12345n;
  const samples = Array.from({ length: 240 }, (_, i) => {
    s = (1103515245n * s + 12345n) % 2147483648n;
    const t = i / 120;
    const noise = 0.012 * (Number(s) / 2 ** 31 - 0.5);
    return 0.9 * Math.sin(2 * Math.PI * 1.5 * t) + 0.25 * Math.sin(2 * Math.PI * 3 * t + 0.7) + noise;
  });

  it("starts from the same samples", () => {
    expect(samples[0]).toBeCloseTo(0.162916270391, 12);
    expect(samples[4]).toBeCloseTo(0.521000692069, 12);
  });

  it("gives docs/references.md 5.3: residuals, line and cutoff", () => {
    const { residuals, slope, intercept, cutoff } = residualCutoff(samples, 120);
    close(residuals, RESIDUALS, 2e-12);
    expect(slope).toBeCloseTo(-5.80638575e-5, 12);
    expect(intercept).toBeCloseTo(0.00369965138, 10);
    expect(cutoff).toBeCloseTo(7.77741604, 6);
    // True noise rms 0.003 502 499: within 6 %
    expect(Math.abs(intercept / 0.003502499 - 1)).toBeLessThan(0.06);
  });

  it("has no cutoff for a track that stands still", () => {
    expect(residualCutoff(new Array(60).fill(3), 60).cutoff).toBeNull();
  });
});

describe("local polynomials", () => {
  const even = (window: number) => Array.from({ length: window }, (_, k) => k - (window - 1) / 2);

  // docs/references.md 5.4 (Anal Chem 1964;36:1627 with Steinier's corrections)
  it.each([
    [5, 2, 0, [-3, 12, 17, 12, -3], 35],
    [7, 2, 0, [-2, 3, 6, 7, 6, 3, -2], 21],
    [9, 3, 0, [-21, 14, 39, 54, 59, 54, 39, 14, -21], 231],
    [11, 2, 0, [-36, 9, 44, 69, 84, 89, 84, 69, 44, 9, -36], 429],
    [7, 4, 0, [5, -30, 75, 131, 75, -30, 5], 231],
    [5, 2, 1, [-2, -1, 0, 1, 2], 10],
    [7, 2, 1, [-3, -2, -1, 0, 1, 2, 3], 28],
    [5, 3, 1, [1, -8, 0, 8, -1], 12],
    [7, 3, 1, [22, -67, -58, 0, 58, 67, -22], 252],
    [5, 2, 2, [2, -1, -2, -1, 2], 7],
    [7, 2, 2, [5, 0, -3, -4, -3, 0, 5], 42],
    [9, 2, 2, [28, 7, -8, -17, -20, -17, -8, 7, 28], 462],
  ] as const)(
    "of %i even samples, degree %i, derivative %i are Savitzky and Golay's",
    (window, degree, derivative, want, over) => {
      close(
        localPolynomial(even(window), 0, degree, derivative),
        want.map((w) => w / over),
        1e-12,
      );
    },
  );

  it.each(scipy.savgol as { window: number; degree: number; derivative: 0 | 1 | 2; weights: number[] }[])(
    "agree with SciPy: $window samples, degree $degree, derivative $derivative",
    ({ window, degree, derivative, weights }) => {
      close(localPolynomial(even(window), 0, degree, derivative), weights, 1e-11);
    },
  );

  it("on three samples are the differences of docs/references.md 5.1 and 5.2", () => {
    const at = (i: number) => {
      const from = Math.min(Math.max(i - 1, 0), OUT_A.length - 3);
      const times = [from, from + 1, from + 2].map((k) => k / 60);
      const dot = (derivative: 1 | 2) =>
        localPolynomial(times, i / 60, 2, derivative).reduce((sum, w, k) => sum + w * OUT_A[from + k]!, 0);
      return [dot(1), dot(2)] as const;
    };
    close(
      [0, 1, 10, 20, 39].map((i) => at(i)[0]),
      [17.675446805158, 15.853775889866, -1.386907869833, -18.264725957613, 6.621266001009],
      1e-9,
    );
    close(
      [10, 20].map((i) => at(i)[1]),
      [70.756416151432, -54.798437263032],
      1e-7,
    );
  });

  it("are exact for a polynomial on uneven times", () => {
    const times = [0, 0.033, 0.071, 0.1, 0.142, 0.2];
    const f = (t: number) => 3 - 2 * t + 5 * t ** 2 - 7 * t ** 3;
    const dot = (derivative: 0 | 1 | 2) =>
      localPolynomial(times, 0.09, 3, derivative).reduce((sum, w, k) => sum + w * f(times[k]!), 0);
    expect(dot(0)).toBeCloseTo(f(0.09), 12);
    expect(dot(1)).toBeCloseTo(-2 + 10 * 0.09 - 21 * 0.09 ** 2, 10);
    expect(dot(2)).toBeCloseTo(10 - 42 * 0.09, 8);
  });

  it("refuse fewer different times than they need", () => {
    expect(() => localPolynomial([0, 1, 1], 0, 2, 1)).toThrow(/more than 2/);
  });
});
