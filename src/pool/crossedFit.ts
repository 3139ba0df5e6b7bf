import { lowestEnd, type MixedFit } from "../compare/mixedModel.ts";

interface CrossedRow {
  readonly study: string;
  readonly skater: string;
  readonly difference: number;
}

/** Some rows: how many, the sum of their y and of its squares. */
interface Tally {
  readonly size: number;
  readonly y: number;
  readonly yy: number;
}

/** Of one level of the larger factor; with the other factor's levels it meets: index, times, sum of y. */
interface Group extends Tally {
  readonly level: string;
  readonly met: readonly (readonly [at: number, times: number, y: number])[];
}

/** Rows by the levels of the factor that has more of them, each with how often it meets the levels of the other. */
interface Tables {
  readonly groups: readonly Group[];
  /** Of each level of the smaller factor. */
  readonly kept: readonly (Tally & { readonly level: string })[];
  /** Is the larger factor the evening? */
  readonly studiesLarger: boolean;
  readonly total: Tally;
}

/** REML of difference = mean + evening + skater + rest; theta: SDs of evening and skater in SDs of the rest. */
export interface CrossedModel {
  fit(starts: readonly (readonly number[])[]): MixedFit | null;
  /**
   * With the variances given.
   *
   * @param without an evening that is left out: of many evenings each in turn, without going through all rows each time
   */
  at(theta: readonly number[], without?: string): MixedFit | null;
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
  const at = (theta: readonly number[], without?: string): MixedFit | null => {
    const left = without === undefined ? tables : withoutStudy(tables, without);
    const p = sound ? profile(left, theta) : null;
    if (!p) return null;
    const sigma = Math.sqrt(p.sigma2) * scale;
    return {
      beta: [p.beta * scale + shift],
      covariance: [[(sigma * sigma) / p.information]],
      sigma,
      theta,
      criterion: p.criterion + (left.total.size - 1) * 2 * Math.log(scale),
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

const NONE: Tally = { size: 0, y: 0, yy: 0 };

function tablesOf(rows: readonly CrossedRow[], y: (r: CrossedRow) => number): Tables {
  const studies = new Set(rows.map((r) => r.study)).size;
  const studiesLarger = studies >= new Set(rows.map((r) => r.skater)).size;
  const places = new Map<string, number>();
  const kept: (Tally & { level: string })[] = [];
  const groups = new Map<string, Tally & { met: Map<number, Tally> }>();
  let total = NONE;
  for (const row of rows) {
    const [larger, smaller] = studiesLarger ? [row.study, row.skater] : [row.skater, row.study];
    const one = { size: 1, y: y(row), yy: y(row) ** 2 };
    const at = places.get(smaller) ?? places.size;
    places.set(smaller, at);
    kept[at] = { level: smaller, ...sumOf(kept[at] ?? NONE, one, 1) };
    const group = groups.get(larger) ?? { ...NONE, met: new Map<number, Tally>() };
    group.met.set(at, sumOf(group.met.get(at) ?? NONE, one, 1));
    groups.set(larger, { ...sumOf(group, one, 1), met: group.met });
    total = sumOf(total, one, 1);
  }
  return {
    ...{ kept, total, studiesLarger },
    groups: [...groups].map(([level, { met, ...tally }]) => ({
      ...{ level, ...tally },
      met: [...met].map(([at, own]) => [at, own.size, own.y] as const),
    })),
  };
}

function sumOf(a: Tally, b: Tally, sign: 1 | -1): Tally {
  return { size: a.size + sign * b.size, y: a.y + sign * b.y, yy: a.yy + sign * b.yy };
}

/** Levels that are left without rows stay, and say nothing. */
function withoutStudy({ kept, groups, total, studiesLarger }: Tables, study: string): Tables {
  if (!studiesLarger) {
    const gone = kept.findIndex(({ level }) => level === study);
    return {
      studiesLarger,
      total: sumOf(total, kept[gone]!, -1),
      kept: kept.with(gone, { level: study, ...NONE }),
      groups: groups.map((group) => {
        const there = group.met.find(([at]) => at === gone);
        if (!there) return group;
        const met = group.met.filter((m) => m !== there);
        return { ...group, size: group.size - there[1], y: group.y - there[2], met };
      }),
    };
  }
  const gone = groups.find(({ level }) => level === study)!;
  const left = kept.slice();
  for (const [at, size, y] of gone.met)
    left[at] = { ...left[at]!, size: left[at]!.size - size, y: left[at]!.y - y };
  return {
    studiesLarger,
    total: sumOf(total, gone, -1),
    kept: left,
    groups: groups.filter((g) => g !== gone),
  };
}

function profile({ groups, kept, total, studiesLarger }: Tables, theta: readonly number[]) {
  const n = total.size;
  const [study, skater] = [theta[0]! ** 2, theta[1]! ** 2];
  const [ofLarger, ofSmaller] = studiesLarger ? [study, skater] : [skater, study];
  const lower = kept.map((_, i) => new Float64Array(i + 1));
  const right = kept.map((k) => [k.size, k.y] as [number, number]);
  kept.forEach((k, i) => {
    lower[i]![i] = 1 + ofSmaller * k.size;
  });
  let [logDet, ones, oneY, yy] = [0, n, total.y, total.yy];
  for (const { size, y, met } of groups) {
    const share = ofLarger / (1 + ofLarger * size);
    logDet += Math.log1p(ofLarger * size);
    ones -= share * size * size;
    oneY -= share * size * y;
    yy -= share * y * y;
    for (const [i, times] of met) {
      right[i]![0] -= share * times * size;
      right[i]![1] -= share * times * y;
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
