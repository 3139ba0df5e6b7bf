import { choleskyFactor, solveFactored } from "./positiveDefinite.ts";

/** Something to be fitted. Its parameters say how to go on from a state, so a state may be more than a list of numbers. */
export interface Problem<State> {
  readonly observations: number;
  /** All should be of order one. */
  readonly parameters: number;
  /** Prediction minus observation, in standard deviations of the observations. */
  residuals(state: State, into: Float64Array): void;
  /** Change of every residual for a change of a parameter: all of the first parameter's, then of the next. */
  slopes(state: State, into: Float64Array): void;
  /** The state with each parameter changed by so much. */
  moved(state: State, by: Float64Array): State;
}

export interface Fit<State> {
  readonly state: State;
  /** Sum of squared residuals at the solution. */
  readonly sumOfSquares: number;
  /**
   * Change of each parameter for a change of each observation by one standard deviation: a list for each parameter.
   * gain·gainᵀ is the covariance. Null when the parameters cannot be told apart.
   */
  readonly gain: number[][] | null;
}

const MAX_ROUNDS = 100;
/** Square of the way left to the solution, in standard deviations of the parameters, of which the sum of squares shows nothing. */
const CLOSE = 1e-16;
/** Below this share of the sum of squares its fall drowns in rounding, and only the way left tells whether a move is one nearer. */
const UNSEEN = 1e-11;
/** So little damping shortens no move by much. */
const HARDLY_DAMPED = 1e-4;
/** An element of the covariance of parameters scaled to one observation, from which they cannot be told apart. */
const SINGULAR = 1e13;

/**
 * Levenberg-Marquardt least squares. Residuals in standard deviations make the solution the most likely one for
 * Gaussian errors.
 *
 * @see Marquardt (1963), J. SIAM 11(2), 431-441
 */
export function leastSquares<State>(problem: Problem<State>, start: State): Fit<State> {
  const { observations: m, parameters: n } = problem;
  const slopes = new Float64Array(m * n);
  const normal = new Float64Array(n * n);
  const gradient = new Float64Array(n);
  const damped = new Float64Array(n * n);
  const move = new Float64Array(n);
  let now = new Float64Array(m);
  let there = new Float64Array(m);
  let state = start;
  problem.residuals(state, now);
  let sum = sumOfSquares(now);
  let damping = 1e-3;
  /** Square of the way left before the last move, where rounding hid what the move did to the sum. */
  let left = Number.POSITIVE_INFINITY;
  for (let round = 0; round < MAX_ROUNDS; round++) {
    problem.slopes(state, slopes);
    normalEquations(slopes, now, normal, gradient);
    let improved = false;
    while (!improved && damping < 1e12) {
      damped.set(normal);
      for (let k = 0; k < n; k++) damped[k * n + k] = damped[k * n + k]! * (1 + damping) + Number.MIN_VALUE;
      const lower = choleskyFactor(damped, n);
      if (!lower) {
        damping *= 10;
        continue;
      }
      for (let k = 0; k < n; k++) move[k] = -gradient[k]!;
      solveFactored(lower, move);
      const next = problem.moved(state, move);
      let square = 0;
      for (let k = 0; k < n; k++) square -= gradient[k]! * move[k]!;
      if (damping <= HARDLY_DAMPED && square <= CLOSE * (1 + sum)) {
        // The last move: whether it is an improvement, rounding alone would decide.
        state = next;
        break;
      }
      const isUnseen = damping <= HARDLY_DAMPED && square <= UNSEEN * (1 + sum);
      // No nearer than before: this is as near as rounding lets it come.
      if (isUnseen && square >= left) break;
      problem.residuals(next, there);
      const nextSum = sumOfSquares(there);
      if (!(isUnseen ? nextSum < Number.POSITIVE_INFINITY : nextSum <= sum)) {
        damping *= 10;
        continue;
      }
      left = isUnseen ? square : Number.POSITIVE_INFINITY;
      state = next;
      [now, there] = [there, now];
      sum = nextSum;
      damping = Math.max(damping / 10, 1e-12);
      improved = true;
    }
    if (!improved) break;
  }
  problem.slopes(state, slopes);
  return { state, sumOfSquares: sum, gain: gainOf(slopes, m, n) };
}

/** (JᵀJ)⁻¹Jᵀ, or null where J has not as many independent columns as it has columns. */
function gainOf(slopes: Float64Array, m: number, n: number): number[][] | null {
  // Scaled to unit columns first, so that "singular" does not depend on the parameters' units.
  const sizes = Array.from({ length: n }, (_, k) => Math.sqrt(dot(slopes, k, slopes, k, m)));
  if (!sizes.every((size) => size > 0 && Number.isFinite(size))) return null;
  const unit = new Float64Array(slopes.length);
  for (let k = 0; k < n; k++) for (let at = k * m; at < (k + 1) * m; at++) unit[at] = slopes[at]! / sizes[k]!;
  const normal = new Float64Array(n * n);
  // Of it only the lower half is read.
  for (let j = 0; j < n; j++) for (let k = 0; k <= j; k++) normal[j * n + k] = dot(unit, j, unit, k, m);
  const lower = choleskyFactor(normal, n);
  if (!lower) return null;
  const column = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    column.fill(0);
    column[k] = 1;
    solveFactored(lower, column);
    if (!column.every((element) => Math.abs(element) < SINGULAR)) return null;
  }
  const gain = Array.from({ length: n }, () => new Array<number>(m));
  for (let r = 0; r < m; r++) {
    for (let k = 0; k < n; k++) column[k] = unit[k * m + r]!;
    solveFactored(lower, column);
    for (let k = 0; k < n; k++) gain[k]![r] = column[k]! / sizes[k]!;
  }
  return gain;
}

/** JᵀJ, row by row, of which only the lower half is read, and Jᵀr. */
function normalEquations(
  slopes: Float64Array,
  now: Float64Array,
  normal: Float64Array,
  gradient: Float64Array,
): void {
  const [m, n] = [now.length, gradient.length];
  for (let j = 0; j < n; j++) {
    gradient[j] = dot(slopes, j, now, 0, m);
    for (let k = 0; k <= j; k++) {
      normal[j * n + k] = dot(slopes, j, slopes, k, m);
    }
  }
}

/** Inner product of columns `j` of `a` and `k` of `b`, each `m` long. */
function dot(a: Float64Array, j: number, b: Float64Array, k: number, m: number): number {
  const [from, beside] = [j * m, k * m];
  let sum = 0;
  for (let r = 0; r < m; r++) sum += a[from + r]! * b[beside + r]!;
  return sum;
}

/** Infinity where they are no numbers, which no step is then an improvement over. */
function sumOfSquares(values: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < values.length; k++) sum += values[k]! * values[k]!;
  return Number.isFinite(sum) ? sum : Number.POSITIVE_INFINITY;
}
