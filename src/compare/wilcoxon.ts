import type { OrWhy } from "../reading.ts";

export interface SignedRank {
  /** Sum of the ranks of the positive differences, zeros dropped, ties sharing their mean rank. */
  readonly value: number;
  /** Differences that are not 0. */
  readonly n: number;
  /** Exact and two-sided, whatever the ties. */
  readonly p: number;
}

export interface Centre {
  /** Median of the means of all pairs of differences, each with itself too. */
  readonly value: number;
  /** `level` is what the interval really covers: at least 95 %, as ranks come in steps. */
  readonly interval: OrWhy<{ readonly value: readonly [low: number, high: number]; readonly level: number }>;
}

/** Sizes nearer to each other than this share of the largest are ties: times are decimal, differences binary. */
const SAME = 1e-9;

/** Exact counting needs a list as long as the ranks' sum; more skaters than this are not expected on a bench. */
const MOST = 500;

/**
 * Wilcoxon's signed-rank test, exact also with ties: every way to give the ranks a sign is counted.
 *
 * @param differences one a skater
 * @see Hollander & Wolfe (1973), Nonparametric Statistical Methods, section 3.1
 */
export function signedRank(differences: readonly number[]): OrWhy<SignedRank> {
  const bar = SAME * Math.max(...differences.map(Math.abs));
  const left = differences.filter((d) => Math.abs(d) > bar);
  if (left.length === 0) return { value: null, why: "No skater has a difference that could be ranked." };
  if (left.length > MOST) return { value: null, why: `More than ${MOST} skaters are not counted out.` };
  const doubled = doubledRanks(left.map(Math.abs), bar);
  const v = doubled.reduce((sum, rank, i) => sum + (left[i]! > 0 ? rank : 0), 0);
  const total = doubled.reduce((sum, rank) => sum + rank, 0);
  const chances = sumChances(doubled);
  const tail = Math.min(v, total - v);
  const p = Math.min(1, 2 * chances.slice(0, tail + 1).reduce((sum, c) => sum + c, 0));
  return { value: v / 2, n: left.length, p };
}

/**
 * Hodges and Lehmann's centre of the differences with the interval that belongs to the signed-rank test.
 *
 * @see Hollander & Wolfe (1973), sections 3.2 and 3.3
 */
export function hodgesLehmann(differences: readonly number[]): OrWhy<Centre> {
  const n = differences.length;
  if (n === 0) return { value: null, why: "No skater has a usable value with both techniques." };
  if (n > MOST) return { value: null, why: `More than ${MOST} skaters are not counted out.` };
  const walsh = differences
    .flatMap((x, i) => differences.slice(i).map((y) => (x + y) / 2))
    .sort((x, y) => x - y);
  const middle = walsh.length >> 1;
  const value = walsh.length % 2 === 1 ? walsh[middle]! : (walsh[middle - 1]! + walsh[middle]!) / 2;
  const chances = sumChances(Array.from({ length: n }, (_, i) => i + 1));
  let [outside, cut] = [0, 0];
  while (2 * (outside + chances[cut]!) <= 0.05) outside += chances[cut++]!;
  if (cut === 0) {
    const why = "Fewer than six skaters have no 95 % interval by ranks.";
    return { value, interval: { value: null, why } };
  }
  const ends = [walsh[cut - 1]!, walsh[walsh.length - cut]!] as const;
  return { value, interval: { value: ends, level: 1 - 2 * outside } };
}

/** Twice the rank of each size, so that a shared mean rank is whole too. */
function doubledRanks(sizes: readonly number[], bar: number): number[] {
  const order = sizes.map((_, i) => i).sort((i, j) => sizes[i]! - sizes[j]!);
  const ranks = new Array<number>(sizes.length);
  for (let first = 0; first < order.length; ) {
    let last = first;
    while (last + 1 < order.length && sizes[order[last + 1]!]! - sizes[order[last]!]! <= bar) last++;
    for (let k = first; k <= last; k++) ranks[order[k]!] = first + last + 2;
    first = last + 1;
  }
  return ranks;
}

/** Chance of each sum 0, 1, 2 … when every rank is in with chance 1/2. */
function sumChances(ranks: readonly number[]): number[] {
  const total = ranks.reduce((sum, rank) => sum + rank, 0);
  const chances = new Array<number>(total + 1).fill(0);
  chances[0] = 1;
  let reach = 0;
  for (const rank of ranks) {
    reach += rank;
    for (let sum = reach; sum >= 0; sum--) {
      chances[sum] = (chances[sum]! + (sum >= rank ? chances[sum - rank]! : 0)) / 2;
    }
  }
  return chances;
}
