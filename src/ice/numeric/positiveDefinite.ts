/** As many numbers as it says, readable and writable by place. */
type Numbers = number[] | Float64Array;

/**
 * The lower triangle L of a symmetric positive definite A = L Lᵀ of n x n, row by row, by Cholesky's method; null where
 * A is not one. For the few unknowns of a fit, hundreds of times a trial: without a matrix object for each step.
 *
 * @see Golub and Van Loan, Matrix Computations, 4.2
 */
export function choleskyFactor(a: Readonly<Numbers>, n: number): Float64Array | null {
  const lower = Float64Array.from(a);
  for (let row = 0; row < n; row++) {
    const r = row * n;
    for (let column = 0; column <= row; column++) {
      const c = column * n;
      let sum = lower[r + column]!;
      for (let k = 0; k < column; k++) sum -= lower[r + k]! * lower[c + k]!;
      if (row > column) lower[r + column] = sum / lower[c + column]!;
      else if (sum > 0 && sum < Number.POSITIVE_INFINITY) lower[r + row] = Math.sqrt(sum);
      else return null;
    }
  }
  return lower;
}

/** Solves A x = b in place (`x` is b before, and the solution after), A given by its `choleskyFactor`. */
export function solveFactored(lower: Float64Array, x: Numbers): void {
  const n = x.length;
  solveLower(lower, x);
  for (let row = n - 1; row >= 0; row--) {
    let rest = x[row]!;
    for (let k = row + 1; k < n; k++) rest -= lower[k * n + row]! * x[k]!;
    x[row] = rest / lower[row * n + row]!;
  }
}

/** The first half of it: solves L x = b in place. Of two such x the product is that of their b through the inverse of A. */
export function solveLower(lower: Float64Array, x: Numbers): void {
  const n = x.length;
  for (let row = 0; row < n; row++) {
    let rest = x[row]!;
    for (let k = 0; k < row; k++) rest -= lower[row * n + k]! * x[k]!;
    x[row] = rest / lower[row * n + row]!;
  }
}
