import type { OrWhy } from "../reading.ts";
import { upperF } from "../statistics/fDistribution.ts";
import { mean } from "../statistics/mean.ts";
import type { Lane } from "../study/types.ts";
import { clockMix, leanOf, withOffset } from "./clockMix.ts";
import type { Estimate } from "./estimate.ts";
import { inGeneral, pOfRepeats } from "./inGeneral.ts";
import { meanOfThese } from "./meanOfThese.ts";
import type { Placed } from "./orderEffect.ts";
import { pairedStatistics } from "./pairedStatistics.ts";
import { clipsShare } from "./trialVariance.ts";
import type { CompareRow, Comparison } from "./types.ts";
import { typicalError } from "./typicalError.ts";

export interface TechniquePair {
  readonly a: string;
  readonly b: string;
  /** Skaters with both. */
  readonly n: number;
  /** b minus a; the interval is never narrower than the repeats of these skaters allow. */
  readonly difference: OrWhy<Estimate>;
  /** The larger of what skaters' differences and what their repeats say. */
  readonly p: OrWhy<{ readonly value: number }>;
  /** Holm: adjusted for looking at all pairs. */
  readonly pHolm: OrWhy<{ readonly value: number }>;
}

export interface OverallTest {
  /** F of techniques against skater by technique, over skaters with every technique. */
  readonly value: number;
  readonly df: readonly [number, number];
  /** Greenhouse and Geisser's correction for techniques whose differences do not scatter alike; 1 = none needed. */
  readonly epsilon: number;
  readonly p: number;
  readonly pCorrected: number;
  readonly n: number;
}

export interface ManyTechniques {
  readonly techniques: readonly string[];
  /** Mean of each over skaters with every one of them. */
  readonly means: OrWhy<{ readonly value: readonly number[] }>;
  readonly overall: OrWhy<OverallTest>;
  readonly pairs: readonly TechniquePair[];
}

const LEANS =
  "One technique is timed more by clips than another, and no test takes in how clips and photocells differ.";

/** Three or more techniques: one test of whether they differ at all, then every pair. Skater means throughout. */
export function manyTechniques(
  rows: readonly CompareRow[],
  techniques: readonly string[],
  beam: Lane["gateBeam"] = "not said",
): ManyTechniques {
  const skaters = [...new Set(rows.map((r) => r.skater))];
  const cells = skaters.map((skater) => techniques.map((technique) => trialsOf(rows, skater, technique)));
  const means = cells.map((own) => own.map((trials) => (trials.length === 0 ? null : meanOf(trials))));
  const repeats = typicalError(cells.flat().map((trials) => trials.map((t) => t.value)));
  const error = repeats.value === null ? repeats : { ...repeats, clips: clipsShare(cells.flat()) };
  const pairs = techniques.flatMap((a, i) =>
    techniques.slice(i + 1).map((b, j) => ({ a, b, ...pairOf(cells, [i, i + 1 + j], { error, beam }) })),
  );
  const adjusted = holm(pairs.map((pair) => pair.p.value));
  const complete = means.flatMap((m) => (m.includes(null) ? [] : [m as number[]]));
  return {
    techniques,
    means:
      complete.length === 0
        ? { value: null, why: "No skater has a usable value with every technique." }
        : { value: techniques.map((_, k) => mean(complete.map((m) => m[k]!))) },
    overall: cells.some(leans) ? { value: null, why: LEANS } : overallTest(complete),
    pairs: pairs.map((pair, i) => {
      const p = adjusted[i];
      return { ...pair, pHolm: p == null ? (pair.p as { value: null; why: string }) : { value: p } };
    }),
  };
}

/**
 * Holm's step-down: the chance of even one false alarm among all tests stays below the level. Tests without p keep
 * none and do not count.
 *
 * @see Holm (1979), Scand J Stat 6(2), 65-70
 */
export function holm(ps: readonly (number | null)[]): (number | null)[] {
  const order = ps.flatMap((p, i) => (p === null ? [] : [{ p, i }])).sort((x, y) => x.p - y.p);
  const adjusted: (number | null)[] = ps.map(() => null);
  let least = 0;
  order.forEach(({ p, i }, rank) => {
    least = Math.max(least, Math.min(1, (order.length - rank) * p));
    adjusted[i] = least;
  });
  return adjusted;
}

/**
 * Repeated-measures analysis of variance of skater means.
 *
 * @param table one row a skater, one column a technique, no gaps
 * @see Greenhouse & Geisser (1959), Psychometrika 24(2), 95-112
 */
export function overallTest(table: readonly (readonly number[])[]): OrWhy<OverallTest> {
  const [n, k] = [table.length, table[0]?.length ?? 0];
  if (n < 2)
    return { value: null, why: "The test over all techniques needs two skaters with every one of them." };
  const columns = Array.from({ length: k }, (_, j) => mean(table.map((row) => row[j]!)));
  const grand = mean(columns);
  // What is left of each value without its skater and its technique: skater by technique.
  const rest = table.map((row) => {
    const own = mean(row);
    return row.map((v, j) => v - own - columns[j]! + grand);
  });
  const [df1, df2] = [k - 1, (n - 1) * (k - 1)];
  const error = rest.flat().reduce((sum, r) => sum + r * r, 0) / df2;
  const size = Math.max(...table.flat().map(Math.abs));
  if (Math.sqrt(error) <= 1e-9 * size) {
    return {
      value: null,
      why: "All skaters have exactly the same differences, so there is no scatter to test against.",
    };
  }
  const effect = (n * columns.reduce((sum, c) => sum + (c - grand) ** 2, 0)) / df1;
  const f = effect / error;
  const s = columns.map((_, i) => columns.map((_, j) => rest.reduce((sum, r) => sum + r[i]! * r[j]!, 0)));
  const trace = s.reduce((sum, row, i) => sum + row[i]!, 0);
  const epsilon = trace ** 2 / (df1 * s.flat().reduce((sum, v) => sum + v * v, 0));
  return {
    value: f,
    df: [df1, df2],
    epsilon,
    p: upperF(f, df1, df2),
    pCorrected: upperF(f, epsilon * df1, epsilon * df2),
    n,
  };
}

/** Two techniques over the skaters who have both; error: of one trial, from the repeats of all techniques. */
function pairOf(
  cells: readonly (readonly (readonly Placed[])[])[],
  [i, k]: readonly [number, number],
  { error, beam }: { readonly error: Comparison["typicalError"]; readonly beam: Lane["gateBeam"] },
): Pick<TechniquePair, "n" | "difference" | "p"> {
  const both = cells.flatMap((own) => {
    const [a, b] = [own[i]!, own[k]!];
    return a.length === 0 || b.length === 0 ? [] : [{ a: meanOf(a), b: meanOf(b), trialsA: a, trialsB: b }];
  });
  const { n, meanDifference, pT } = pairedStatistics(both);
  const clocks = clockMix(both, beam);
  const general = withOffset(inGeneral(meanDifference, meanOfThese(both, error)), clocks);
  if (meanDifference.value === null || general.value === null)
    return { n, difference: meanDifference, p: pT };
  const { value, u95 } = general;
  const difference = { value, ci95: [value - u95, value + u95] } as const;
  if (clocks.lean !== 0) return { n, difference, p: { value: null, why: LEANS } };
  const p =
    pT.value === null || error.value === null || error.value === 0
      ? pT
      : { value: Math.max(pT.value, pOfRepeats(value, error, both)) };
  return { n, difference, p };
}

function trialsOf(rows: readonly CompareRow[], skater: string, technique: string): Placed[] {
  return rows.flatMap(({ order, value, clipSd, ...r }) =>
    r.skater === skater && r.technique === technique && r.valid && value !== null
      ? [{ place: order, value, ...(clipSd === undefined ? {} : { clipSd }) }]
      : [],
  );
}

function meanOf(trials: readonly Placed[]): number {
  return mean(trials.map((t) => t.value));
}

/** Is one of a skater's techniques timed more by clips than another? */
function leans(own: readonly (readonly Placed[])[]): boolean {
  const skated = own.filter((trials) => trials.length > 0);
  return skated.some((trials) => leanOf({ trialsA: skated[0]!, trialsB: trials }) !== 0);
}
