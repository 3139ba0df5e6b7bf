import { Matrix, solve } from "ml-matrix";
import { solvePositiveDefinite } from "./positiveDefinite.ts";

export interface Fit {
  readonly parameters: readonly number[];
  /** Sum of squared residuals at the solution. */
  readonly sumOfSquares: number;
  /** Residuals at the solution. */
  readonly residuals: readonly number[];
  /**
   * Change of each parameter for a unit change of each observation (rows: parameters, columns: residuals).
   * With residuals in standard deviations, gain·gainᵀ is the covariance. Null when the parameters cannot be told apart.
   */
  readonly gain: Matrix | null;
}

const MAX_ROUNDS = 100;
/** Square of a residual that is nothing but rounding, in standard deviations. */
const ROUNDING = 1e-20;

/**
 * Levenberg-Marquardt least squares with central-difference derivatives.
 *
 * `residuals` is observation minus prediction or the reverse, in standard deviations of the observations,
 * so that the solution is the most likely one for Gaussian errors. Parameters should be of order one.
 *
 * @see Marquardt (1963), J. SIAM 11(2), 431-441
 */
export function leastSquares(
  residuals: (parameters: readonly number[]) => readonly number[],
  start: readonly number[],
): Fit {
  let parameters = start.slice();
  let now = residuals(parameters);
  let sum = sumOfSquares(now);
  let damping = 1e-3;
  for (let round = 0; round < MAX_ROUNDS; round++) {
    const { normal, gradient } = normalEquations(slopesOf(residuals, parameters), now);
    const n = parameters.length;
    let improved = false;
    let settled = false;
    while (!improved && damping < 1e12) {
      const damped = normal.slice();
      for (let k = 0; k < n; k++) damped[k * n + k] = damped[k * n + k]! * (1 + damping) + Number.MIN_VALUE;
      const move = solvePositiveDefinite(damped, gradient);
      if (!move) {
        damping *= 10;
        continue;
      }
      const next = parameters.map((p, k) => p - move[k]!);
      const there = residuals(next);
      const nextSum = sumOfSquares(there);
      if (nextSum <= sum) {
        settled =
          (nextSum <= ROUNDING * now.length || sum - nextSum <= 1e-14 * sum) &&
          move.every((m, k) => Math.abs(m) <= 1e-10 * (1 + Math.abs(next[k]!)));
        parameters = next;
        now = there;
        sum = nextSum;
        damping = Math.max(damping / 10, 1e-12);
        improved = true;
      } else {
        damping *= 10;
      }
    }
    if (!improved || settled) break;
  }
  return { parameters, sumOfSquares: sum, residuals: now, gain: gainAt(residuals, parameters) };
}

function gainAt(
  residuals: (parameters: readonly number[]) => readonly number[],
  parameters: readonly number[],
): Matrix | null {
  const jacobian = new Matrix(slopesOf(residuals, parameters)).transpose();
  // Scaled to unit columns first, so that "singular" does not depend on the parameters' units.
  const scale = parameters.map((_, k) => Math.hypot(...jacobian.getColumn(k)));
  if (scale.some((s) => !(s > 0) || !Number.isFinite(s))) return null;
  const unit = jacobian.clone();
  for (let k = 0; k < parameters.length; k++) unit.mulColumn(k, 1 / scale[k]!);
  const inverse = inverseOfNormal(unit.transpose().mmul(unit));
  if (!inverse) return null;
  const gain = inverse.mmul(unit.transpose());
  for (let k = 0; k < parameters.length; k++) gain.mulRow(k, 1 / scale[k]!);
  return gain;
}

function inverseOfNormal(normal: Matrix): Matrix | null {
  const inverse = solved(normal, Matrix.eye(normal.rows));
  return inverse?.to1DArray().every((v) => Math.abs(v) < 1e13) ? inverse : null;
}

function solved(left: Matrix, right: Matrix): Matrix | null {
  try {
    const x = solve(left, right);
    return x.to1DArray().every(Number.isFinite) ? x : null;
  } catch {
    return null; // ml-matrix throws on a singular matrix
  }
}

/** Change of every residual for a change of each parameter: a list for each parameter. */
function slopesOf(
  residuals: (parameters: readonly number[]) => readonly number[],
  parameters: readonly number[],
): number[][] {
  const moved = parameters.slice();
  return parameters.map((p, k) => {
    const h = 1e-6 * Math.max(Math.abs(p), 1e-2);
    moved[k] = p + h;
    const above = residuals(moved);
    moved[k] = p - h;
    const below = residuals(moved);
    moved[k] = p;
    return above.map((value, r) => (value - below[r]!) / (2 * h));
  });
}

/** JᵀJ, row by row, and Jᵀr. */
function normalEquations(slopes: readonly (readonly number[])[], now: readonly number[]) {
  const n = slopes.length;
  const normal = new Array<number>(n * n);
  const dot = (a: readonly number[], b: readonly number[]) => {
    let sum = 0;
    for (let r = 0; r < a.length; r++) sum += a[r]! * b[r]!;
    return sum;
  };
  for (let j = 0; j < n; j++)
    for (let k = 0; k <= j; k++) {
      normal[j * n + k] = dot(slopes[j]!, slopes[k]!);
      normal[k * n + j] = normal[j * n + k]!;
    }
  return { normal, gradient: slopes.map((column) => dot(column, now)) };
}

function sumOfSquares(values: readonly number[]): number {
  let sum = 0;
  for (const v of values) sum += v * v;
  return Number.isFinite(sum) ? sum : Number.POSITIVE_INFINITY;
}
