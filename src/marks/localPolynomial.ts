import { MeasureError } from "../errors.ts";

/**
 * Weights that turn samples at given times into the value, or a derivative, of their least-squares polynomial at one
 * time. On even times these are the Savitzky-Golay coefficients; on three samples and degree 2 the central and
 * one-sided differences.
 *
 * @param times of the samples, seconds, in any spacing; more than `degree` different ones
 * @param derivative 0 = the value, 1 = per second, 2 = per second squared
 * @throws {MeasureError} `too-few-frames`
 * @see Savitzky and Golay (1964), Analytical Chemistry 36, 1627-1639; corrections by Steinier et al. (1972)
 */
export function localPolynomial(
  times: readonly number[],
  at: number,
  degree: number,
  derivative: 0 | 1 | 2,
): number[] {
  if (new Set(times).size <= degree) {
    throw new MeasureError(
      "too-few-frames",
      `localPolynomial of degree ${degree} requires more than ${degree} different times; got ${times.length}`,
      `Mark at least ${degree + 1} frames in a row here.`,
      { samples: times.length, degree },
    );
  }
  const span = Math.max(...times.map((t) => Math.abs(t - at))) || 1;
  const x = times.map((t) => (t - at) / span);
  const basis = orthonormal(x, degree);
  // The derivative at 0 of each orthonormal polynomial, by its own coefficients.
  const factorial = derivative === 2 ? 2 : 1;
  const weights = new Array<number>(times.length).fill(0);
  for (const { values, coefficients } of basis) {
    const slope = ((coefficients[derivative] ?? 0) * factorial) / span ** derivative;
    for (let k = 0; k < weights.length; k++) weights[k]! += slope * values[k]!;
  }
  return weights;
}

/** Polynomials orthonormal over the samples (Gram and Schmidt, twice), each with its coefficients of 1, x, x² … */
function orthonormal(x: readonly number[], degree: number) {
  const basis: { values: number[]; coefficients: number[] }[] = [];
  for (let power = 0; power <= degree; power++) {
    const values = x.map((v) => v ** power);
    const coefficients = Array.from({ length: degree + 1 }, (_, k) => (k === power ? 1 : 0));
    for (let round = 0; round < 2; round++) {
      for (const other of basis) {
        const share = values.reduce((sum, v, k) => sum + v * other.values[k]!, 0);
        for (let k = 0; k < values.length; k++) values[k]! -= share * other.values[k]!;
        for (let k = 0; k <= degree; k++) coefficients[k]! -= share * other.coefficients[k]!;
      }
    }
    const length = Math.sqrt(values.reduce((sum, v) => sum + v * v, 0));
    basis.push({
      values: values.map((v) => v / length),
      coefficients: coefficients.map((c) => c / length),
    });
  }
  return basis;
}
