import { lowestEnd, type MixedFit } from "../compare/mixedModel.ts";

interface CrossedRow {
  readonly study: string;
  readonly skater: string;
  readonly difference: number;
}

/** Rows by the levels of the factor that has more of them, each with how often it meets the levels of the other. */
interface Tables {
  readonly n: number;
  /** Of each level of the larger factor: rows, sums of [1, y], and the other factor's levels met (index, times). */
  readonly groups: readonly {
    readonly size: number;
    readonly sum: readonly [number, number];
    readonly met: readonly (readonly [level: number, times: number])[];
  }[];
  /** Of each level of the smaller factor: rows, sums of [1, y]. */
  readonly kept: readonly { size: number; sum: [number, number] }[];
  /** Is the larger factor the evening? */
  readonly studiesLarger: boolean;
  /** Sums of y and of its squares. */
  readonly total: readonly [y: number, yy: number];
}

/** REML of difference = mean + evening + skater + rest; theta: SDs of evening and skater in SDs of the rest. */
export interface CrossedModel {
  fit(starts: readonly (readonly number[])[]): MixedFit | null;
  /** With the variances given. */
  at(theta: readonly number[]): MixedFit | null;
}

/**
 * Evenings crossed with skaters. The larger factor is taken out level by level (its part of the covariance is block diagonal:
 * Sherman & Morrison), so only a matrix of the smaller one is factored, within its envelope: seasons in which few people
 * come often, or each only in neighbouring evenings, cost little whatever their number.
 *
 * @see Bates, Maechler, Bolker & Walker (2015), J Stat Softw 67(1), section 3.4: the profiled criterion
 * @see George & Liu (1981), Computer Solution of Large Sparse Positive Definite Systems, chapter 4: the envelope
 */
export function crossedModel(rows: readonly CrossedRow[]): CrossedModel {
  const n = rows.length;
  const shift = rows.reduce((sum, r) => sum + r.difference, 0) / n;
  const scale = Math.sqrt(rows.reduce((sum, r) => sum + (r.difference - shift) ** 2, 0) / n);
  const sound = scale > 1e-9 * Math.max(...rows.map((r) => Math.abs(r.difference)));
  const tables = tablesOf(rows, (r) => (r.difference - shift) / scale);
  const at = (theta: readonly number[]): MixedFit | null => {
    const p = sound ? profile(tables, theta) : null;
    if (!p) return null;
    const sigma = Math.sqrt(p.sigma2) * scale;
    return {
      beta: [p.beta * scale + shift],
      covariance: [[(sigma * sigma) / p.information]],
      sigma,
      theta,
      criterion: p.criterion + (n - 1) * 2 * Math.log(scale),
    };
  };
  const criterion = (theta: readonly number[]) =>
    profile(tables, theta)?.criterion ?? Number.POSITIVE_INFINITY;
  return {
    at,
    fit: (starts) => {
      const best = sound ? lowestEnd(criterion, starts) : null;
      return best && at(best);
    },
  };
}

function tablesOf(rows: readonly CrossedRow[], y: (r: CrossedRow) => number): Tables {
  const studies = new Set(rows.map((r) => r.study)).size;
  const studiesLarger = studies >= new Set(rows.map((r) => r.skater)).size;
  const larger = (r: CrossedRow) => (studiesLarger ? r.study : r.skater);
  const smaller = (r: CrossedRow) => (studiesLarger ? r.skater : r.study);
  const index = new Map<string, number>();
  const kept: { size: number; sum: [number, number] }[] = [];
  const groups = new Map<string, { size: number; sum: [number, number]; met: Map<number, number> }>();
  const total: [number, number] = [0, 0];
  for (const row of rows) {
    const value = y(row);
    const level = index.get(smaller(row)) ?? index.size;
    index.set(smaller(row), level);
    const own = kept[level] ?? { size: 0, sum: [0, 0] };
    kept[level] = own;
    const group = groups.get(larger(row)) ?? { size: 0, sum: [0, 0], met: new Map() };
    groups.set(larger(row), group);
    for (const of of [own, group]) {
      of.size += 1;
      of.sum[0] += 1;
      of.sum[1] += value;
    }
    group.met.set(level, (group.met.get(level) ?? 0) + 1);
    total[0] += value;
    total[1] += value * value;
  }
  return {
    ...{ n: rows.length, kept, total, studiesLarger },
    groups: [...groups.values()].map((g) => ({ ...g, met: [...g.met] })),
  };
}

function profile({ n, groups, kept, total, studiesLarger }: Tables, theta: readonly number[]) {
  const [study, skater] = [theta[0]! ** 2, theta[1]! ** 2];
  const [ofLarger, ofSmaller] = studiesLarger ? [study, skater] : [skater, study];
  const lower = kept.map((_, i) => new Float64Array(i + 1));
  const right = kept.map((k) => [k.sum[0], k.sum[1]] as [number, number]);
  kept.forEach((k, i) => {
    lower[i]![i] = 1 + ofSmaller * k.size;
  });
  let [logDet, ones, oneY, yy] = [0, n, total[0], total[1]];
  for (const { size, sum, met } of groups) {
    const share = ofLarger / (1 + ofLarger * size);
    logDet += Math.log1p(ofLarger * size);
    ones -= share * sum[0] * sum[0];
    oneY -= share * sum[0] * sum[1];
    yy -= share * sum[1] * sum[1];
    for (const [i, times] of met) {
      right[i]![0] -= share * times * sum[0];
      right[i]![1] -= share * times * sum[1];
      for (const [j, other] of met) if (j <= i) lower[i]![j]! -= ofSmaller * share * times * other;
    }
  }
  if (!solved(lower, right)) return null;
  right.forEach(([one, y], i) => {
    logDet += 2 * Math.log(lower[i]![i]!);
    ones -= ofSmaller * one * one;
    oneY -= ofSmaller * one * y;
    yy -= ofSmaller * y * y;
  });
  const rest = yy - (oneY * oneY) / ones;
  if (!(ones > 0 && rest > 1e-13)) return null;
  const sigma2 = rest / (n - 1);
  const criterion = logDet + Math.log(ones) + (n - 1) * (1 + Math.log(2 * Math.PI * sigma2));
  return { beta: oneY / ones, information: ones, sigma2, criterion };
}

/** Cholesky in place, each row from its first entry on, and `right` taken through it; false where it is not definite. */
function solved(lower: readonly Float64Array[], right: readonly [number, number][]): boolean {
  const first = lower.map((row) => row.findIndex((v) => v !== 0));
  for (let i = 0; i < lower.length; i++) {
    const row = lower[i]!;
    const from = first[i]!;
    for (let j = from; j <= i; j++) {
      const other = lower[j]!;
      let v = row[j]!;
      for (let k = Math.max(from, first[j]!); k < j; k++) v -= row[k]! * other[k]!;
      if (i === j && !(v > 0)) return false;
      row[j] = i === j ? Math.sqrt(v) : v / other[j]!;
    }
    for (const c of [0, 1] as const) {
      let v = right[i]![c];
      for (let k = from; k < i; k++) v -= row[k]! * right[k]![c];
      right[i]![c] = v / row[i]!;
    }
  }
  return true;
}
