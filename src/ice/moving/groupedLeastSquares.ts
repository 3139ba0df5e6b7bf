import { CholeskyDecomposition, Matrix, solve } from "ml-matrix";

/** Observations that depend on the shared parameters and on some that only this group has. */
export interface Group {
  /** Where this group's own parameters start; may be empty. */
  readonly own: readonly number[];
  /** Which shared parameters its residuals depend on; the others are not tried. */
  readonly uses: readonly number[];
  /** Predicted minus observed, in standard deviations of the observations. */
  residuals(shared: readonly number[], own: readonly number[]): readonly number[];
}

export interface GroupedFit {
  readonly shared: readonly number[];
  readonly own: readonly (readonly number[])[];
  /** Residuals of each group at the solution, in standard deviations. */
  readonly residuals: readonly (readonly number[])[];
  readonly sumOfSquares: number;
  /** Null when the observations cannot tell the parameters apart. */
  readonly spread: Spread | null;
}

/**
 * Covariance of all parameters, as it falls apart: the shared ones deviate by `shared` · (independent standard
 * deviates), and a group's own by `follow` · (the shared deviation) + `own` · (further deviates of its own).
 */
export interface Spread {
  readonly shared: Matrix;
  readonly groups: readonly { readonly follow: Matrix; readonly own: Matrix }[];
}

const MAX_ROUNDS = 60;
/** Step of the derivatives; the parameters are of order one. */
const STEP = 1e-6;
/** Square of a residual that is nothing but rounding. */
const ROUNDING = 1e-18;

/**
 * Levenberg-Marquardt least squares for many small groups with a few shared parameters: every group's own
 * parameters are eliminated first, so that the work grows in proportion to the number of groups.
 *
 * @param mayGoOn asked before each round
 * @returns null when it was not allowed to come to its end
 * @see Brown (1976), Int. Arch. Photogrammetry 21(3); Triggs et al. (2000), LNCS 1883, 298-372, section 6.1
 */
export function groupedLeastSquares(
  groups: readonly Group[],
  start: readonly number[],
  rounds = MAX_ROUNDS,
  mayGoOn: () => boolean = () => true,
): GroupedFit | null {
  let shared = start.slice();
  let own = groups.map((g) => g.own.slice());
  let residuals = groups.map((g, k) => g.residuals(shared, own[k]!));
  let sum = total(residuals);
  let damping = 1e-4;
  for (let round = 0; round < rounds; round++) {
    if (!mayGoOn()) return null;
    const system = linearise(groups, shared, own, residuals);
    let moved = false;
    let settled = false;
    while (!moved && damping < 1e10) {
      const step = stepOf(system, damping);
      if (step) {
        const nextShared = shared.map((p, k) => p - step.shared[k]!);
        const nextOwn = own.map((ps, g) => ps.map((p, k) => p - step.own[g]![k]!));
        const next = groups.map((g, k) => g.residuals(nextShared, nextOwn[k]!));
        const nextSum = total(next);
        if (nextSum <= sum) {
          const largest = Math.max(...[step.shared, ...step.own].flat().map(Math.abs), 0);
          settled =
            largest < 1e-9 && (sum - nextSum <= 1e-13 * sum || nextSum <= ROUNDING * next.flat().length);
          [shared, own, residuals, sum] = [nextShared, nextOwn, next, nextSum];
          damping = Math.max(damping / 10, 1e-12);
          moved = true;
          continue;
        }
      }
      damping *= 10;
    }
    if (!moved || settled) break;
  }
  return {
    shared,
    own,
    residuals,
    sumOfSquares: sum,
    spread: spreadOf(linearise(groups, shared, own, residuals)),
  };
}

/** Normal equations: `u` shared, `v` own, `w` between, and the gradients. */
interface Normal {
  readonly u: Matrix;
  readonly gradient: Matrix;
  readonly groups: readonly {
    readonly v: Matrix;
    readonly w: Matrix;
    readonly gradient: Matrix;
  }[];
}

function linearise(
  groups: readonly Group[],
  shared: readonly number[],
  own: readonly (readonly number[])[],
  residuals: readonly (readonly number[])[],
): Normal {
  const u = Matrix.zeros(shared.length, shared.length);
  const gradient = Matrix.zeros(shared.length, 1);
  const parts = groups.map((group, k) => {
    const mine = own[k]!;
    const now = Matrix.columnVector(residuals[k]!.slice());
    const ofShared = slopes((p) => group.residuals(p, mine), shared, group.uses, now.rows);
    const js = ofShared.transpose();
    const all = mine.map((_, m) => m);
    const jo = slopes((p) => group.residuals(shared, p), mine, all, now.rows);
    const jot = jo.transpose();
    u.add(js.mmul(ofShared));
    gradient.add(js.mmul(now));
    return { v: jot.mmul(jo), w: js.mmul(jo), gradient: jot.mmul(now) };
  });
  return { u, gradient, groups: parts };
}

function slopes(
  f: (p: readonly number[]) => readonly number[],
  at: readonly number[],
  uses: readonly number[],
  rows: number,
): Matrix {
  const jacobian = Matrix.zeros(rows, at.length);
  const moved = at.slice();
  for (const k of uses) {
    const p = at[k]!;
    moved[k] = p + STEP;
    const above = f(moved);
    moved[k] = p - STEP;
    const below = f(moved);
    moved[k] = p;
    for (let r = 0; r < rows; r++) jacobian.set(r, k, (above[r]! - below[r]!) / (2 * STEP));
  }
  return jacobian;
}

function stepOf(normal: Normal, damping: number) {
  const reduced = damped(normal.u, damping);
  const right = normal.gradient.clone();
  const eliminated: { readonly vw: Matrix; readonly vg: Matrix }[] = [];
  for (const { v, w, gradient } of normal.groups) {
    if (v.rows === 0) {
      eliminated.push({ vw: v, vg: v });
      continue;
    }
    const stiff = damped(v, damping);
    const vw = solved(stiff, w.transpose());
    const vg = solved(stiff, gradient);
    if (!vw || !vg) return null;
    reduced.sub(w.mmul(vw));
    right.sub(w.mmul(vg));
    eliminated.push({ vw, vg });
  }
  const shared = solved(reduced, right);
  if (!shared) return null;
  return {
    shared: shared.to1DArray(),
    own: eliminated.map(({ vw, vg }) => (vg.rows === 0 ? [] : Matrix.sub(vg, vw.mmul(shared)).to1DArray())),
  };
}

function spreadOf(normal: Normal): Spread | null {
  const reduced = normal.u.clone();
  const groups: { follow: Matrix; own: Matrix }[] = [];
  for (const { v, w } of normal.groups) {
    if (v.rows === 0) {
      groups.push({ follow: Matrix.zeros(0, w.rows), own: v });
      continue;
    }
    const own = inverseRoot(v);
    if (!own) return null;
    const follow = own.mmul(own.transpose()).mmul(w.transpose()).neg();
    reduced.add(w.mmul(follow));
    groups.push({ follow, own });
  }
  const shared = inverseRoot(reduced);
  return shared && { shared, groups };
}

/** A matrix R with R·Rᵀ the inverse of a symmetric matrix; null unless it is safely positive definite. */
function inverseRoot(matrix: Matrix): Matrix | null {
  // Scaled to a unit diagonal first, so that "singular" does not depend on the parameters' units.
  const scale = matrix.diagonal().map((d) => 1 / Math.sqrt(d));
  if (!scale.every(Number.isFinite)) return null;
  const unit = matrix.clone();
  for (const [k, s] of scale.entries()) unit.mulRow(k, s).mulColumn(k, s);
  // Symmetric to the last digit, which ml-matrix asks for.
  const cholesky = new CholeskyDecomposition(Matrix.add(unit, unit.transpose()).mul(0.5));
  const lower = cholesky.lowerTriangularMatrix;
  if (!cholesky.isPositiveDefinite() || lower.diagonal().some((d) => !(d > 1e-7))) return null;
  const root = solved(lower, Matrix.eye(matrix.rows))?.transpose();
  if (!root) return null;
  for (const [k, s] of scale.entries()) root.mulRow(k, s);
  return root;
}

function damped(matrix: Matrix, damping: number): Matrix {
  const result = matrix.clone();
  for (let k = 0; k < matrix.rows; k++) result.set(k, k, matrix.get(k, k) * (1 + damping) + Number.MIN_VALUE);
  return result;
}

function solved(left: Matrix, right: Matrix): Matrix | null {
  try {
    const x = solve(left, right);
    return x.to1DArray().every(Number.isFinite) ? x : null;
  } catch {
    return null; // ml-matrix throws on a singular matrix
  }
}

function total(residuals: readonly (readonly number[])[]): number {
  let sum = 0;
  for (const group of residuals) for (const r of group) sum += r * r;
  return Number.isFinite(sum) ? sum : Number.POSITIVE_INFINITY;
}
