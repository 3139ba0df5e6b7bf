import { MeasureError } from "../errors.ts";
import type { OrWhy } from "../reading.ts";
import { chiSquareQuantile, t975 } from "../statistics/distributions.ts";
import { fQuantile } from "../statistics/fDistribution.ts";
import { mean, standardDeviation, withoutRounding } from "../statistics/mean.ts";
import { mdc95 } from "./typicalError.ts";

export interface Interval {
  readonly value: number;
  readonly ci95: readonly [low: number, high: number];
}

/** Mean squares of a complete table: between rows, within rows, between columns, what is left. */
export interface MeanSquares {
  readonly rows: number;
  readonly within: number;
  readonly columns: number;
  readonly error: number;
}

export interface Limits {
  /** Mean of first minus second column. */
  readonly bias: Interval;
  readonly sd: number;
  /** bias ± 1.96 SD: where 95 % of differences lie. Not ± 2 SD, which some papers print. */
  readonly low: Interval;
  readonly high: Interval;
}

export interface Reliability {
  readonly n: number;
  readonly k: number;
  readonly meanSquares: MeanSquares;
  /** SD of one reading around what the row's readings have in common, columns' own means taken out. */
  readonly typicalError: OrWhy<Interval & { readonly df: number }>;
  /** The same as a share, from logarithms, per cent. */
  readonly cvPercent: OrWhy<{ readonly value: number }>;
  readonly mdc95: OrWhy<{ readonly value: number }>;
  readonly icc: OrWhy<{
    readonly value: {
      /** Single reading: absolute agreement of any observers (2,1); consistency of these observers (3,1). */
      readonly agreement: Interval;
      readonly consistency: Interval;
      /** Readings not told apart by observer (1,1). */
      readonly oneWay: Interval;
      /** The same for the mean of all k readings: (2,k), (3,k), (1,k). */
      readonly meanAgreement: Interval;
      readonly meanConsistency: Interval;
      readonly meanOneWay: Interval;
    };
  }>;
  /** Only of two columns. */
  readonly limits: OrWhy<{ readonly value: Limits }>;
}

/**
 * How well readings repeat: the same trials, marks or days read k times, by one observer or several. Of readings that
 * repeat exactly nothing is known: their scatter is smaller than their steps show, and it is not 0.
 *
 * @param table one row for what was read, one column for each pass, observer or repeat; no gaps, n and k at least 2
 * @throws {MeasureError} `no-reliability`
 * @see Shrout & Fleiss (1979), Psychol Bull 86, 420-428: ICC and intervals
 * @see Hopkins (2000), Sports Med 30(1), 1-15: typical error
 * @see Bland & Altman (1986), Lancet 327(8476), 307-310: limits of agreement
 */
export function reliability(table: readonly (readonly number[])[]): Reliability {
  const [n, k] = [table.length, table[0]?.length ?? 0];
  if (n < 2 || k < 2 || table.some((row) => row.length !== k || !row.every(Number.isFinite))) {
    throw new MeasureError(
      "no-reliability",
      `reliability needs a complete table of at least 2 x 2 numbers, got ${n} x ${k}`,
      "Reliability needs at least two things, each read at least twice by the same observers, without gaps.",
    );
  }
  const found = squares(table);
  const dfError = (n - 1) * (k - 1);
  // What binary rounding leaves of readings that repeat exactly is no scatter.
  const size = Math.max(...table.flat().map(Math.abs));
  const error = Math.sqrt(found.error);
  if (withoutRounding(error, size) === 0) {
    const common = withoutRounding(Math.sqrt(found.columns), size) !== 0;
    const none = { value: null, why: common ? EXACT_BUT_COMMON : EXACT };
    const meanSquares = { ...found, error: 0 };
    return { n, k, meanSquares, typicalError: none, cvPercent: none, mdc95: none, icc: none, limits: none };
  }
  return {
    n,
    k,
    meanSquares: found,
    typicalError: {
      value: error,
      ci95: [
        error * Math.sqrt(dfError / chiSquareQuantile(0.975, dfError)),
        error * Math.sqrt(dfError / chiSquareQuantile(0.025, dfError)),
      ],
      df: dfError,
    },
    cvPercent: cv(table),
    mdc95: { value: mdc95(error) },
    icc: coefficients(found, n, k),
    limits:
      k === 2
        ? { value: limitsOf(table.map(([a, b]) => a! - b!)) }
        : { value: null, why: "Limits of agreement compare two passes or two observers." },
  };
}

const EXACT = "The readings repeat exactly: their steps are too coarse to show how well.";
const EXACT_BUT_COMMON =
  "The readings repeat exactly but for a change common to all: their steps are too coarse to show how well.";

function squares(table: readonly (readonly number[])[]): MeanSquares {
  const [n, k] = [table.length, table[0]!.length];
  const grand = mean(table.flat());
  const rowMeans = table.map(mean);
  const columnMeans = table[0]!.map((_, j) => mean(table.map((row) => row[j]!)));
  const sum = (values: readonly number[]) => values.reduce((total, v) => total + v * v, 0);
  const rows = k * sum(rowMeans.map((m) => m - grand));
  const columns = n * sum(columnMeans.map((m) => m - grand));
  const rest = sum(table.flatMap((row, i) => row.map((v, j) => v - rowMeans[i]! - columnMeans[j]! + grand)));
  return {
    rows: rows / (n - 1),
    within: (columns + rest) / (n * (k - 1)),
    columns: columns / (k - 1),
    error: rest / ((n - 1) * (k - 1)),
  };
}

function cv(table: readonly (readonly number[])[]): OrWhy<{ readonly value: number }> {
  if (table.flat().some((v) => v <= 0)) {
    return { value: null, why: "A share needs values above 0 only." };
  }
  const error = Math.sqrt(squares(table.map((row) => row.map(Math.log))).error);
  if (withoutRounding(error, 1) === 0) {
    return {
      value: null,
      why: "The readings repeat exactly but for a share common to all, so their steps are too coarse to tell.",
    };
  }
  return { value: 100 * (Math.exp(error) - 1) };
}

function coefficients(ms: MeanSquares, n: number, k: number): Reliability["icc"] {
  if (ms.rows <= ms.error) {
    return {
      value: null,
      why: "Readings of one differ as much as those of different ones, so nothing can be told apart (ICC 0 or less).",
    };
  }
  const { rows: b, within: w, columns: j, error: e } = ms;
  const [dfB, dfW, dfE] = [n - 1, n * (k - 1), (n - 1) * (k - 1)];
  const single = (f: number) => (f - 1) / (f + k - 1);
  const averaged = (f: number) => 1 - 1 / f;
  const f1 = [b / w / fQuantile(0.975, dfB, dfW), (b / w) * fQuantile(0.975, dfW, dfB)] as const;
  const f3 = [b / e / fQuantile(0.975, dfB, dfE), (b / e) * fQuantile(0.975, dfE, dfB)] as const;
  const each = (f: number, [low, high]: readonly [number, number], of: (f: number) => number): Interval => ({
    value: of(f),
    ci95: [of(low), of(high)],
  });
  const agreement = (b - e) / (b + (k - 1) * e + (k * (j - e)) / n);
  const ends = agreementEnds(ms, n, k, agreement);
  // Far below 0 the step has a pole; -1 says as much.
  const stepped = (icc: number) => Math.max(-1, (k - 1) * icc <= -1 ? -1 : (k * icc) / (1 + (k - 1) * icc));
  return {
    value: {
      oneWay: each(b / w, f1, single),
      meanOneWay: each(b / w, f1, averaged),
      agreement: { value: agreement, ci95: ends },
      meanAgreement: { value: (b - e) / (b + (j - e) / n), ci95: [stepped(ends[0]), stepped(ends[1])] },
      consistency: each(b / e, f3, single),
      meanConsistency: each(b / e, f3, averaged),
    },
  };
}

/** Shrout and Fleiss's approximate interval of ICC(2,1), with Satterthwaite's degrees of freedom. */
function agreementEnds({ rows: b, columns: j, error: e }: MeanSquares, n: number, k: number, icc: number) {
  const fj = j / e;
  const a = k * icc * fj;
  const c = n * (1 + (k - 1) * icc) - k * icc;
  const v = ((k - 1) * (n - 1) * (a + c) ** 2) / ((n - 1) * a * a + c * c);
  const [upper, lower] = [fQuantile(0.975, n - 1, v), fQuantile(0.975, v, n - 1)];
  const spread = k * j + (k * n - k - n) * e;
  const low = (n * (b - upper * e)) / (upper * spread + n * b);
  return [
    // With next to no degrees of freedom the quantile runs out of numbers: the interval says nothing there.
    Number.isFinite(low) ? low : -1,
    (n * (lower * b - e)) / (spread + n * lower * b),
  ] as const;
}

function limitsOf(differences: readonly number[]): Limits {
  const n = differences.length;
  const [bias, sd] = [mean(differences), standardDeviation(differences)];
  const t = t975(n - 1);
  const around = (value: number, se: number): Interval => ({ value, ci95: [value - t * se, value + t * se] });
  const ofLimit = Math.sqrt((3 * sd * sd) / n);
  return {
    bias: around(bias, sd / Math.sqrt(n)),
    sd,
    low: around(bias - 1.96 * sd, ofLimit),
    high: around(bias + 1.96 * sd, ofLimit),
  };
}
