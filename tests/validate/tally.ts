import type { Verdict } from "./judge.ts";

/** Sums over many verdicts, small enough to be sent between threads. */
export interface Sums {
  given: number;
  refused: number;
  error: number;
  square: number;
  u95: number;
  covered: number;
  /** Of errors over their Cramér-Rao bound. */
  bounded: number;
  boundedSquare: number;
}

export type Tally = Map<string, Sums>;

export function add(tally: Tally, key: string, v: Verdict): void {
  const sums = tally.get(key) ?? {
    ...{ given: 0, refused: 0, error: 0, square: 0, u95: 0, covered: 0 },
    ...{ bounded: 0, boundedSquare: 0 },
  };
  tally.set(key, sums);
  if (v.error === null) {
    sums.refused++;
    return;
  }
  sums.given++;
  sums.error += v.error;
  sums.square += v.error ** 2;
  sums.u95 += v.u95;
  if (v.covered) sums.covered++;
  if (v.bound !== null && v.atFrameError !== null) {
    sums.bounded++;
    sums.boundedSquare += (v.atFrameError / v.bound) ** 2;
  }
}

export function merge(into: Tally, from: Tally): void {
  for (const [key, sums] of from) {
    const have = into.get(key);
    if (!have) into.set(key, { ...sums });
    else for (const name of Object.keys(sums) as (keyof Sums)[]) have[name] += sums[name];
  }
}

export interface Row {
  readonly n: number;
  readonly refused: number;
  readonly bias: number;
  readonly sd: number;
  /** Root mean square of errors at the frames over their bounds; null where no bound was worked out. */
  readonly overBound: number | null;
  readonly boundN: number;
  readonly u95: number;
  readonly coverage: number;
  readonly coverageFrom: number;
  readonly coverageTo: number;
}

export function rowOf(s: Sums): Row {
  const n = s.given;
  const bias = s.error / n;
  const [from, to] = scoreInterval(s.covered, n);
  return {
    n,
    refused: s.refused / (s.refused + n),
    bias,
    sd: Math.sqrt(Math.max(0, s.square / n - bias ** 2)),
    overBound: s.bounded === 0 ? null : Math.sqrt(s.boundedSquare / s.bounded),
    boundN: s.bounded,
    u95: s.u95 / n,
    coverage: s.covered / n,
    coverageFrom: from,
    coverageTo: to,
  };
}

/** 95 % interval of a share: Wilson (1927), Journal of the American Statistical Association 22, 209-212. */
export function scoreInterval(hits: number, n: number): readonly [number, number] {
  if (n === 0) return [0, 1];
  const z2 = 1.959964 ** 2;
  const centre = (hits + z2 / 2) / (n + z2);
  const half = (Math.sqrt(z2) / (n + z2)) * Math.sqrt((hits * (n - hits)) / n + z2 / 4);
  return [centre - half, centre + half];
}

/** What is asked of a figure over all placements; null = reported, nothing asked. */
export interface Demand {
  readonly coverage: readonly [number, number] | null;
  readonly overBound: number | null;
  readonly bias: boolean;
}

const CONTACT: Demand = { coverage: [0.93, 0.98], overBound: null, bias: true };
const BODY: Demand = { coverage: [0.9, 0.99], overBound: null, bias: true };

/** The stated requirements of the measuring core: docs/precision.md 5. */
export const DEMANDS: Readonly<Record<string, Demand>> = {
  stride_width_m: { coverage: [0.93, 0.98], overBound: 1.05, bias: true },
  touchdown_to_track_midline_m: CONTACT,
  blade_separation_m: CONTACT,
  stride_rate_hz: CONTACT,
  half_width_m: BODY,
  recovery_to_midline_m: BODY,
  touchdown_to_midline_m: BODY,
  arm_swing_direction_deg: BODY,
  arm_swing_angle_deg: BODY,
  "mean arm_swing_direction_deg": BODY,
  "mean arm_swing_angle_deg": BODY,
};

/** From each of these views arms are asked for by themselves, swung along and across: front, bench, diagonal. */
export const ARM_CELLS = (["behind", "finish", "bench", "45 deg"] as const).flatMap((view) =>
  (["fore-aft", "side-to-side"] as const).map((style) => `${view}|${style}`),
);

/** Whether a share of so many can be what is asked: its own interval reaches there. */
export function canBe(row: Row, [low, high]: readonly [number, number]): boolean {
  return row.coverageTo >= low && row.coverageFrom <= high;
}

/** What of the demand a row misses, in words; empty = nothing. */
export function missed(row: Row, demand: Demand | undefined): string[] {
  if (!demand || row.n === 0) return [];
  const misses: string[] = [];
  if (demand.coverage && (row.coverage < demand.coverage[0] || row.coverage > demand.coverage[1]))
    misses.push("coverage");
  if (demand.overBound !== null && row.overBound !== null && row.overBound > demand.overBound)
    misses.push("scatter");
  if (demand.bias && Math.abs(row.bias) >= row.u95 / 4) misses.push("bias");
  return misses;
}
