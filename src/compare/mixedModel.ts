import { Matrix, solve } from "ml-matrix";
import { nelderMead } from "../statistics/nelderMead.ts";

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
 * variance that wants to be negative ends at 0. The criterion can have more than one optimum: the search starts from
 * every point of a grid that is no higher than its neighbours, and the lowest end is kept. Null where the fixed
 * effects cannot be told apart or nothing is left to estimate sigma from.
 *
 * @param factor L (q x q) for theta and a group of q random effects
 * @param grid for each number of theta, where on its axis the search may start, ascending
 * @see Bates, Maechler, Bolker & Walker (2015), J Stat Softw 67(1), section 3.4: the profiled criterion
 * @see Henderson & Searle (1981), SIAM Review 23(1), 53-60: the inverse that needs only q x q matrices
 */
export function fitMixedModel(
  groups: readonly MixedGroup[],
  factor: (theta: readonly number[], q: number) => readonly (readonly number[])[],
  grid: readonly (readonly number[])[],
): MixedFit | null {
  const p = groups[0]?.x[0]?.length ?? 0;
  const n = groups.reduce((sum, g) => sum + g.y.length, 0);
  if (p === 0 || n <= p) return null;
  // A shift and a scale of y keep sums of squares short; both are put back at the end.
  const all = groups.flatMap((g) => g.y);
  const shift = all.reduce((sum, v) => sum + v, 0) / n;
  const scale = Math.sqrt(all.reduce((sum, v) => sum + (v - shift) ** 2, 0) / n);
  if (!(scale > 1e-9 * Math.max(...all.map(Math.abs)))) return null;
  const products = crossProducts(groups, shift, scale);
  const fitAt = (theta: readonly number[]) => profile(products, (q) => factor(theta, q), n, p);
  const criterion = (theta: readonly number[]) => fitAt(theta)?.criterion ?? Number.POSITIVE_INFINITY;
  const best = lowestEnd(criterion, grid);
  const fit = best && fitAt(best);
  if (!best || !fit) return null;
  const sigma = Math.sqrt(fit.sigma2) * scale;
  // y was shifted by a constant: the share of it that each fixed effect carries.
  const constant = interceptOf(groups);
  const { beta, inverse } = fixedEffects(fit.lower, p);
  return {
    beta: beta.map((b, k) => b * scale + shift * constant[k]!),
    covariance: inverse.map((row) => row.map((v) => v * sigma * sigma)),
    sigma,
    theta: best,
    criterion: fit.criterion + (n - p) * 2 * Math.log(scale),
  };
}

/** The lowest point that searches from the grid's hollows end at; null where the function exists nowhere on it. */
export function lowestEnd(
  f: (at: readonly number[]) => number,
  grid: readonly (readonly number[])[],
): readonly number[] | null {
  const ends = hollows(f, grid).map((start) =>
    nelderMead(
      f,
      start,
      start.map((v) => Math.max(0.05, v / 2)),
    ),
  );
  return ends.sort((x, y) => x.value - y.value)[0]?.at ?? null;
}

/** Points of the grid that have no lower neighbour along an axis; none where the criterion exists nowhere. */
function hollows(f: (at: readonly number[]) => number, grid: readonly (readonly number[])[]): number[][] {
  const spots = grid.reduce<number[][]>(
    (all, axis) => all.flatMap((spot) => axis.map((_, i) => [...spot, i])),
    [[]],
  );
  const place = (spot: readonly number[]) => spot.map((i, k) => grid[k]![i]!);
  const values = new Map(spots.map((spot) => [spot.join(), f(place(spot))]));
  const at = (spot: readonly number[]) => values.get(spot.join()) ?? Number.POSITIVE_INFINITY;
  return spots
    .filter(
      (spot) =>
        Number.isFinite(at(spot)) &&
        spot.every((i, k) => [i - 1, i + 1].every((j) => at(spot.with(k, j)) >= at(spot))),
    )
    .map(place);
}

/** What the criterion needs of all groups whose Z'Z is the same: skaters with the same number of trials. */
interface Products {
  readonly zz: readonly (readonly number[])[];
  count: number;
  /** Over those groups, sums of products of rows i and j of Z' [X y], each (p + 1) x (p + 1). */
  readonly rows: number[][][][];
}

interface Sums {
  readonly classes: readonly Products[];
  /** [X y]' [X y] over all groups. */
  readonly ww: readonly (readonly number[])[];
}

function crossProducts(groups: readonly MixedGroup[], shift: number, scale: number): Sums {
  const classes = new Map<string, Products>();
  const w = groups.map((g) => g.x.map((row, i) => [...row, (g.y[i]! - shift) / scale]));
  const size = w[0]![0]!.length;
  groups.forEach((g, k) => {
    const zt = transposed(g.z);
    const zz = times(zt, g.z);
    const zw = times(zt, w[k]!);
    const key = JSON.stringify(zz);
    const known = classes.get(key) ?? { zz, count: 0, rows: zw.map(() => zw.map(() => zeros(size, size))) };
    classes.set(key, known);
    known.count++;
    zw.forEach((a, i) => {
      zw.forEach((b, j) => {
        addTo(known.rows[i]![j]!, 1, times(transposed([a]), [b]));
      });
    });
  });
  const rows = w.flat();
  return { classes: [...classes.values()], ww: times(transposed(rows), rows) };
}

/**
 * The criterion at one theta. Plain loops: it is worked out hundreds of times on matrices of two or three rows, where
 * a matrix library spends its time on making matrices.
 */
function profile(
  { classes, ww }: Sums,
  factor: (q: number) => readonly (readonly number[])[],
  n: number,
  p: number,
) {
  const sum = ww.map((row) => row.slice());
  let logDet = 0;
  for (const { zz, count, rows } of classes) {
    const l = factor(zz.length);
    const m = times(transposed(l), times(zz, l));
    for (let k = 0; k < m.length; k++) m[k]![k]! += 1;
    const lower = cholesky(m);
    if (!lower) return null;
    for (let k = 0; k < lower.length; k++) logDet += 2 * count * Math.log(lower[k]![k]!);
    // V^-1 = I - Z K Z' with K = L M^-1 L'.
    const half = forward(lower, transposed(l));
    const kernel = times(transposed(half), half);
    for (let i = 0; i < zz.length; i++)
      for (let j = 0; j < zz.length; j++) addTo(sum, -kernel[i]![j]!, rows[i]![j]!);
  }
  // One decomposition of [X y]' V^-1 [X y] holds everything: its last pivot is what beta leaves over.
  const lower = cholesky(sum);
  if (!lower) return null;
  for (let k = 0; k < p; k++) {
    // A pivot that is rounding only: the columns of X are not independent.
    if (lower[k]![k]! ** 2 < 1e-11 * ww[k]![k]!) return null;
    logDet += 2 * Math.log(lower[k]![k]!);
  }
  const rest = lower[p]![p]! ** 2;
  if (!(rest > 1e-13)) return null;
  const sigma2 = rest / (n - p);
  const criterion = logDet + (n - p) * (1 + Math.log(2 * Math.PI * sigma2));
  return { lower, sigma2, criterion };
}

function addTo(sum: number[][], share: number, m: readonly (readonly number[])[]): void {
  for (let i = 0; i < sum.length; i++) {
    const [to, from] = [sum[i]!, m[i]!];
    for (let j = 0; j < to.length; j++) to[j]! += share * from[j]!;
  }
}

/** beta, and (X' V^-1 X)^-1, from the decomposition of `profile`. */
function fixedEffects(lower: readonly (readonly number[])[], p: number) {
  const root = new Matrix(lower.slice(0, p).map((row) => row.slice(0, p)));
  const inverse = solve(root, Matrix.eye(p));
  return {
    beta: inverse
      .transpose()
      .mmul(Matrix.columnVector(lower[p]!.slice(0, p)))
      .to1DArray(),
    inverse: inverse.transpose().mmul(inverse).to2DArray(),
  };
}

function zeros(rows: number, columns: number): number[][] {
  const out: number[][] = [];
  for (let i = 0; i < rows; i++) {
    const row: number[] = [];
    for (let j = 0; j < columns; j++) row.push(0);
    out.push(row);
  }
  return out;
}

function transposed(m: readonly (readonly number[])[]): number[][] {
  const out = zeros(m[0]!.length, m.length);
  for (let i = 0; i < m.length; i++) for (let j = 0; j < out.length; j++) out[j]![i] = m[i]![j]!;
  return out;
}

function times(a: readonly (readonly number[])[], b: readonly (readonly number[])[]): number[][] {
  const out = zeros(a.length, b[0]!.length);
  for (let i = 0; i < out.length; i++) {
    for (let k = 0; k < b.length; k++) {
      const v = a[i]![k]!;
      if (v !== 0) for (let j = 0; j < b[k]!.length; j++) out[i]![j]! += v * b[k]![j]!;
    }
  }
  return out;
}

/** Lower triangle L with L L' = m, or null where m is not positive definite. Reads the lower half only. */
function cholesky(m: readonly (readonly number[])[]): number[][] | null {
  const l = zeros(m.length, m.length);
  for (let i = 0; i < m.length; i++) {
    for (let j = 0; j <= i; j++) {
      let v = m[i]![j]!;
      for (let k = 0; k < j; k++) v -= l[i]![k]! * l[j]![k]!;
      if (i === j && !(v > 0)) return null;
      l[i]![j] = i === j ? Math.sqrt(v) : v / l[j]![j]!;
    }
  }
  return l;
}

/** L^-1 b */
function forward(l: readonly (readonly number[])[], b: readonly (readonly number[])[]): number[][] {
  const out = b.map((row) => row.slice());
  for (let i = 0; i < out.length; i++) {
    for (let c = 0; c < out[i]!.length; c++) {
      for (let k = 0; k < i; k++) out[i]![c]! -= l[i]![k]! * out[k]![c]!;
      out[i]![c]! /= l[i]![i]!;
    }
  }
  return out;
}

/** The combination of fixed effects that is 1 in every row; all models here have one. */
function interceptOf(groups: readonly MixedGroup[]): number[] {
  const x = new Matrix(groups.flatMap((g) => g.x.map((row) => row.slice())));
  return solve(x, Matrix.ones(x.rows, 1)).to1DArray();
}
