import { CholeskyDecomposition, Matrix, solve } from "ml-matrix";
import { nelderMead } from "./nelderMead.ts";

/** One group's rows (one skater's trials): y, fixed-effect row x, random-effect row z. Groups are independent. */
export interface MixedGroup {
  readonly y: readonly number[];
  /** n x p */
  readonly x: readonly (readonly number[])[];
  /** n x q; q may differ between groups. */
  readonly z: readonly (readonly number[])[];
}

export interface MixedFit {
  /** Fixed effects and their covariance, p and p x p. */
  readonly beta: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  /** SD within groups that no effect explains. */
  readonly sigma: number;
  /** Parameters of the random effects' relative covariance factor, as `factor` takes them. */
  readonly theta: readonly number[];
  /** REML criterion, -2 log restricted likelihood. */
  readonly criterion: number;
}

/**
 * Linear mixed model by restricted maximum likelihood: y = X beta + Z b + e, b ~ N(0, sigma² L L'), e ~ N(0, sigma²).
 * beta and sigma are profiled out; the criterion is minimised over theta. Its sign does not matter, so that a
 * variance that wants to be negative ends at 0. Null where the fixed effects cannot be told apart or nothing is left
 * to estimate sigma from.
 *
 * @param factor L (q x q) for theta and a group of q random effects
 * @see Bates, Maechler, Bolker & Walker (2015), J Stat Softw 67(1), section 3.4: the profiled criterion
 * @see Henderson & Searle (1981), SIAM Review 23(1), 53-60: the inverse that needs only q x q matrices
 */
export function fitMixedModel(
  groups: readonly MixedGroup[],
  factor: (theta: readonly number[], q: number) => readonly (readonly number[])[],
  start: readonly number[],
): MixedFit | null {
  const p = groups[0]?.x[0]?.length ?? 0;
  const n = groups.reduce((sum, g) => sum + g.y.length, 0);
  if (p === 0 || n <= p) return null;
  // A shift and a scale of y keep sums of squares short; both are put back at the end.
  const all = groups.flatMap((g) => g.y);
  const shift = all.reduce((sum, v) => sum + v, 0) / n;
  const scale = Math.sqrt(all.reduce((sum, v) => sum + (v - shift) ** 2, 0) / n);
  if (!(scale > 1e-9 * Math.max(...all.map(Math.abs)))) return null;
  const products = groups.map((g) => crossProducts(g, shift, scale));
  const fitAt = (theta: readonly number[]) => profile(products, (q) => factor(theta, q), n, p);
  if (fitAt(start) === null) return null;
  const best = nelderMead((theta) => fitAt(theta)?.criterion ?? Number.POSITIVE_INFINITY, start, 0.5);
  const fit = fitAt(best.at);
  if (!fit) return null;
  const sigma = Math.sqrt(fit.sigma2) * scale;
  // y was shifted by a constant: the share of it that each fixed effect carries.
  const constant = interceptOf(groups);
  return {
    beta: fit.beta.map((b, k) => b * scale + shift * constant[k]!),
    covariance: fit.inverse.map((row) => row.map((v) => v * sigma * sigma)),
    sigma,
    theta: best.at,
    criterion: fit.criterion + (n - p) * 2 * Math.log(scale),
  };
}

interface Products {
  readonly zz: Matrix;
  /** Z' [X y] and [X y]' [X y] */
  readonly zw: Matrix;
  readonly ww: Matrix;
}

function crossProducts(g: MixedGroup, shift: number, scale: number): Products {
  const z = new Matrix(g.z.map((row) => row.slice()));
  const w = new Matrix(g.x.map((row, i) => [...row, (g.y[i]! - shift) / scale]));
  const [zt, wt] = [z.transpose(), w.transpose()];
  return { zz: zt.mmul(z), zw: zt.mmul(w), ww: wt.mmul(w) };
}

function profile(
  products: readonly Products[],
  factor: (q: number) => readonly (readonly number[])[],
  n: number,
  p: number,
) {
  const sum = Matrix.zeros(p + 1, p + 1);
  let logDet = 0;
  for (const { zz, zw, ww } of products) {
    const l = new Matrix(factor(zz.rows).map((row) => row.slice()));
    const lt = l.transpose();
    const chol = new CholeskyDecomposition(symmetric(Matrix.eye(zz.rows).add(lt.mmul(zz).mmul(l))));
    const a = lt.mmul(zw);
    sum.add(ww).sub(a.transpose().mmul(chol.solve(a)));
    const lower = chol.lowerTriangularMatrix;
    for (let k = 0; k < lower.rows; k++) logDet += 2 * Math.log(lower.get(k, k));
  }
  const xx = symmetric(sum.subMatrix(0, p - 1, 0, p - 1));
  const chol = new CholeskyDecomposition(xx);
  if (!chol.isPositiveDefinite()) return null;
  const lower = chol.lowerTriangularMatrix;
  for (let k = 0; k < p; k++) {
    // A pivot that is rounding only: the columns of X are not independent.
    if (lower.get(k, k) ** 2 < 1e-11 * xx.get(k, k)) return null;
    logDet += 2 * Math.log(lower.get(k, k));
  }
  const xy = sum.subMatrix(0, p - 1, p, p);
  const beta = chol.solve(xy).to1DArray();
  const rest = sum.get(p, p) - beta.reduce((s, b, k) => s + b * xy.get(k, 0), 0);
  if (!(rest > 1e-13)) return null;
  const sigma2 = rest / (n - p);
  const criterion = logDet + (n - p) * (1 + Math.log(2 * Math.PI * sigma2));
  return { beta, sigma2, criterion, inverse: chol.solve(Matrix.eye(p)).to2DArray() };
}

/** Rounding leaves the halves different in the last digit, which the decomposition refuses. */
function symmetric(m: Matrix): Matrix {
  return Matrix.add(m, m.transpose()).div(2);
}

/** The combination of fixed effects that is 1 in every row; all models here have one. */
function interceptOf(groups: readonly MixedGroup[]): number[] {
  const x = new Matrix(groups.flatMap((g) => g.x.map((row) => row.slice())));
  return solve(x, Matrix.ones(x.rows, 1)).to1DArray();
}
