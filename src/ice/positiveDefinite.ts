/**
 * Solves A x = b for a symmetric positive definite A, given row by row, by Cholesky's method; null where it is not one.
 * For the few unknowns of a fit, hundreds of times a trial: without a matrix object for each step.
 *
 * @see Golub and Van Loan, Matrix Computations, 4.2
 */
export function solvePositiveDefinite(a: readonly number[], b: readonly number[]): number[] | null {
  const n = b.length;
  const lower = a.slice();
  for (let row = 0; row < n; row++) {
    for (let column = 0; column <= row; column++) {
      let sum = lower[row * n + column]!;
      for (let k = 0; k < column; k++) sum -= lower[row * n + k]! * lower[column * n + k]!;
      if (row > column) lower[row * n + column] = sum / lower[column * n + column]!;
      else if (sum > 0 && sum < Number.POSITIVE_INFINITY) lower[row * n + row] = Math.sqrt(sum);
      else return null;
    }
  }
  const x = b.slice();
  for (let row = 0; row < n; row++) {
    for (let k = 0; k < row; k++) x[row]! -= lower[row * n + k]! * x[k]!;
    x[row]! /= lower[row * n + row]!;
  }
  for (let row = n - 1; row >= 0; row--) {
    for (let k = row + 1; k < n; k++) x[row]! -= lower[k * n + row]! * x[k]!;
    x[row]! /= lower[row * n + row]!;
  }
  return x.every(Number.isFinite) ? x : null;
}
