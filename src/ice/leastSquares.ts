import { Matrix, solve } from "ml-matrix";

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
    const jacobian = differentiate(residuals, parameters, now.length);
    const normal = jacobian.transpose().mmul(jacobian);
    const gradient = jacobian.transpose().mmul(Matrix.columnVector(now.slice()));
    let improved = false;
    let settled = false;
    while (!improved && damping < 1e12) {
      const damped = normal.clone();
      for (let k = 0; k < parameters.length; k++) {
        damped.set(k, k, normal.get(k, k) * (1 + damping) + Number.MIN_VALUE);
      }
      const move = solved(damped, gradient)?.to1DArray();
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
  return { parameters, sumOfSquares: sum, residuals: now, gain: gainAt(residuals, parameters, now.length) };
}

function gainAt(
  residuals: (parameters: readonly number[]) => readonly number[],
  parameters: readonly number[],
  count: number,
): Matrix | null {
  const jacobian = differentiate(residuals, parameters, count);
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

function differentiate(
  residuals: (parameters: readonly number[]) => readonly number[],
  parameters: readonly number[],
  count: number,
): Matrix {
  const jacobian = Matrix.zeros(count, parameters.length);
  parameters.forEach((p, k) => {
    const h = 1e-6 * Math.max(Math.abs(p), 1e-2);
    const moved = parameters.slice();
    moved[k] = p + h;
    const above = residuals(moved);
    moved[k] = p - h;
    const below = residuals(moved);
    for (let r = 0; r < count; r++) jacobian.set(r, k, (above[r]! - below[r]!) / (2 * h));
  });
  return jacobian;
}

function sumOfSquares(values: readonly number[]): number {
  let sum = 0;
  for (const v of values) sum += v * v;
  return Number.isFinite(sum) ? sum : Number.POSITIVE_INFINITY;
}
