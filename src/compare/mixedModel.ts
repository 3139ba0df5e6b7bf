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
  const places = placesFor(products);
  const fitAt = (theta: readonly number[]) => profile(products, places, (q) => factor(theta, q), n, p);
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
  const values = spots.map((spot) => f(place(spot)));
  // The last axis runs fastest.
  const strides = grid.map((_, k) => grid.slice(k + 1).reduce((product, axis) => product * axis.length, 1));
  const isLow = (n: number, spot: readonly number[]) =>
    Number.isFinite(values[n]!) &&
    spot.every((i, k) => {
      const step = strides[k]!;
      return (
        (i === 0 || values[n - step]! >= values[n]!) &&
        (i === grid[k]!.length - 1 || values[n + step]! >= values[n]!)
      );
    });
  return spots.filter((spot, n) => isLow(n, spot)).map(place);
}

/** What the criterion needs of all groups whose Z'Z is the same: skaters with the same number of trials. */
interface Products {
  readonly zz: readonly (readonly number[])[];
  count: number;
  /** Over those groups, sums of products of rows i and j of Z' [X y], at i q + j: each (p + 1) x (p + 1), row by row. */
  readonly rows: readonly Float64Array[];
}

interface Sums {
  readonly classes: readonly Products[];
  /** [X y]' [X y] over all groups, row by row. */
  readonly ww: Float64Array;
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
    const known = classes.get(key) ?? { zz, count: 0, rows: zz.flatMap(() => zz.map(() => square(size))) };
    classes.set(key, known);
    known.count++;
    zw.forEach((a, i) => {
      zw.forEach((b, j) => {
        const sum = known.rows[i * zz.length + j]!;
        for (let r = 0; r < size; r++) for (let c = 0; c < size; c++) sum[r * size + c]! += a[r]! * b[c]!;
      });
    });
  });
  const rows = w.flat();
  return {
    classes: [...classes.values()],
    ww: Float64Array.from(times(transposed(rows), rows).flat()),
  };
}

const square = (size: number) => new Float64Array(size * size);

/** Working places of `profile`, which is worked out hundreds of times on matrices of two or three rows. */
interface Places {
  readonly sum: Float64Array;
  readonly lower: Float64Array;
  readonly classes: readonly (readonly [
    scaled: Float64Array,
    m: Float64Array,
    root: Float64Array,
    half: Float64Array,
  ])[];
}

function placesFor({ classes, ww }: Sums): Places {
  return {
    sum: new Float64Array(ww.length),
    lower: new Float64Array(ww.length),
    classes: classes.map(({ zz: { length: q } }) => [square(q), square(q), square(q), square(q)]),
  };
}

/** The criterion at one theta; `lower`, the decomposition that it is read from, is the next call's as well. */
function profile(
  { classes, ww }: Sums,
  { sum, lower, classes: places }: Places,
  factor: (q: number) => readonly (readonly number[])[],
  n: number,
  p: number,
) {
  sum.set(ww);
  let logDet = 0;
  for (let c = 0; c < classes.length; c++) {
    const { zz, count, rows } = classes[c]!;
    const q = zz.length;
    const l = factor(q);
    const [scaled, m, root, half] = places[c]!;
    // M = L' Z'Z L + I
    for (let i = 0; i < q; i++)
      for (let j = 0; j < q; j++) {
        let v = 0;
        for (let k = 0; k < q; k++) v += zz[i]![k]! * l[k]![j]!;
        scaled[i * q + j] = v;
      }
    for (let i = 0; i < q; i++)
      for (let j = 0; j <= i; j++) {
        let v = 0;
        for (let k = 0; k < q; k++) v += l[k]![i]! * scaled[k * q + j]!;
        m[i * q + j] = i === j ? v + 1 : v;
      }
    if (!cholesky(m, q, root)) return null;
    for (let k = 0; k < q; k++) logDet += 2 * count * Math.log(root[k * q + k]!);
    // V^-1 = I - Z K Z' with K = L M^-1 L' = H' H, where H is the inverse of M's root times L'.
    for (let i = 0; i < q; i++)
      for (let j = 0; j < q; j++) {
        let v = l[j]![i]!;
        for (let k = 0; k < i; k++) v -= root[i * q + k]! * half[k * q + j]!;
        half[i * q + j] = v / root[i * q + i]!;
      }
    for (let i = 0; i < q; i++)
      for (let j = 0; j < q; j++) {
        let kernel = 0;
        for (let k = 0; k < q; k++) kernel += half[k * q + i]! * half[k * q + j]!;
        const row = rows[i * q + j]!;
        if (kernel !== 0) for (let at = 0; at < sum.length; at++) sum[at]! -= kernel * row[at]!;
      }
  }
  // One decomposition of [X y]' V^-1 [X y] holds everything: its last pivot is what beta leaves over.
  const size = p + 1;
  if (!cholesky(sum, size, lower)) return null;
  for (let k = 0; k < p; k++) {
    // A pivot that is rounding only: the columns of X are not independent.
    if (lower[k * size + k]! ** 2 < 1e-11 * ww[k * size + k]!) return null;
    logDet += 2 * Math.log(lower[k * size + k]!);
  }
  const rest = lower[p * size + p]! ** 2;
  if (!(rest > 1e-13)) return null;
  const sigma2 = rest / (n - p);
  const criterion = logDet + (n - p) * (1 + Math.log(2 * Math.PI * sigma2));
  return { lower, sigma2, criterion };
}

/** beta, and (X' V^-1 X)^-1, from the decomposition of `profile`. */
function fixedEffects(lower: Float64Array, p: number) {
  const row = (k: number) => Array.from(lower.subarray(k * (p + 1), k * (p + 1) + p));
  const root = new Matrix(Array.from({ length: p }, (_, k) => row(k)));
  const inverse = solve(root, Matrix.eye(p));
  return {
    beta: inverse
      .transpose()
      .mmul(Matrix.columnVector(row(p)))
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

/** Lower triangle L with L L' = m, both row by row, into `l`; false where m is not positive definite. Reads the lower half only. */
function cholesky(m: Float64Array, size: number, l: Float64Array): boolean {
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let v = m[i * size + j]!;
      for (let k = 0; k < j; k++) v -= l[i * size + k]! * l[j * size + k]!;
      if (i === j && !(v > 0)) return false;
      l[i * size + j] = i === j ? Math.sqrt(v) : v / l[j * size + j]!;
    }
  }
  return true;
}

/** The combination of fixed effects that is 1 in every row; all models here have one. */
function interceptOf(groups: readonly MixedGroup[]): number[] {
  const x = new Matrix(groups.flatMap((g) => g.x.map((row) => row.slice())));
  return solve(x, Matrix.ones(x.rows, 1)).to1DArray();
}
