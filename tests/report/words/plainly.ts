import { expect } from "vitest";
import type { MadeUpStudy } from "../../helpers/madeUpStudy.ts";
import {
  average,
  deviation,
  signFlip,
  squares,
  t975,
  twoSided,
  upperF,
} from "../../helpers/plainStatistics.ts";
import { lagOf, type PlainSkater, type PlainVerdict, plainVerdicts, withoutChange } from "./plainVerdicts.ts";

const WORDS = [
  "none",
  "one",
  "two",
  "three",
  "four",
  "five",
  "six",
  "seven",
  "eight",
  "nine",
  "ten",
  "eleven",
  "twelve",
];
export const count = (word: string) =>
  /^\d+$/.test(word) ? Number(word) : WORDS.indexOf(word.toLowerCase());
export const NUMBER = "(-?\\d+(?:\\.\\d+)?)";
/** "0.05" or "0.05 to 0.21" */
export const RANGE = "(-?[\\d.]+(?: to -?[\\d.]+)?)";

/** "Ada, Bo and Cleo" */
export const names = (text: string) => text.split(/, | and /);

/** What was printed is the number, to the digits that were printed. */
export function says(printed: string, value: number, what: string): void {
  const places = printed.split(".")[1]?.length ?? 0;
  expect(Math.abs(Number(printed) - value), `${what}: ${printed} for ${value}`).toBeLessThanOrEqual(
    0.5 * 10 ** -places + 1e-9,
  );
}

export interface Plain {
  readonly a: string;
  readonly b: string;
  readonly n: number;
  readonly pairs: readonly { name: string; a: number; b: number; nA: number; nB: number; d: number }[];
  readonly mean: number;
  readonly half: number | null;
  readonly pT: number | null;
  readonly pFlip: number;
  readonly smallest: number;
  /** SD of one trial and its degrees of freedom. */
  readonly error: { value: number; df: number } | null;
  readonly band: number | null;
  readonly said: boolean;
  /** Of these skaters, from their repeats. */
  readonly these: number | null;
  /** Of skaters in general: never narrower. */
  readonly general: number | null;
  /** Mean places b came after a; what is left without a steady change. */
  readonly lag: number;
  readonly steady: { value: number; u95: number } | null;
  /** Most skaters skated one technique wholly before the other. */
  readonly blocks: boolean;
  /** Of each skater: share of pairs of trials with b after a, less those before. */
  readonly leads: readonly number[];
  readonly verdicts: ReadonlyMap<string, PlainVerdict>;
  /** Chance of differences this unlike if skaters responded alike. */
  readonly pAlike: number | null;
  /** SD between skaters of their response. */
  readonly response: { sd: number; ci95: readonly [number, number] } | null;
  readonly conclusion: "nobody" | "one" | "order" | "depends" | "settled" | "alike" | "these" | "open";
}

/** The comparison of the first two techniques, from the times alone. */
export function plainly({ whole: { study } }: MadeUpStudy, without: ReadonlySet<string> = new Set()): Plain {
  const skaters = study.skaters.map((s): PlainSkater => {
    const own = study.trials.filter((t) => t.skater === s.id).sort((x, y) => x.order - y.order);
    const cell = (technique: string) =>
      own.flatMap((t, k) =>
        t.technique === technique && t.valid && t.time !== null && !without.has(t.id)
          ? [{ x: k + 1, y: t.time }]
          : [],
      );
    return { name: s.name, a: cell(study.techniques[0]!.id), b: cell(study.techniques[1]!.id) };
  });
  const values = (cell: PlainSkater["a"]) => cell.map((t) => t.y);
  const both = skaters.filter((s) => s.a.length > 0 && s.b.length > 0);
  const pairs = both.map(({ name, a, b }) => {
    const [mA, mB] = [average(values(a)), average(values(b))];
    return { name, a: mA, b: mB, nA: a.length, nB: b.length, d: mB - mA };
  });
  const n = pairs.length;
  const d = pairs.map((p) => p.d);
  const mean = n === 0 ? 0 : average(d);
  const sd = n < 2 ? 0 : deviation(d);
  const sure = n >= 2 && sd > 1e-9;
  const own = skaters.flatMap((s) => [values(s.a), values(s.b)]);
  const df = own.reduce((sum, c) => sum + Math.max(0, c.length - 1), 0);
  const ss = own.reduce((sum, c) => sum + (c.length === 0 ? 0 : squares(c)), 0);
  const error = df === 0 ? null : { value: Math.sqrt(ss / df), df };
  const shares = pairs.reduce((sum, p) => sum + 1 / p.nA + 1 / p.nB, 0);
  const these =
    n === 0 || error === null || error.value < 1e-12
      ? null
      : (t975(error.df) * error.value * Math.sqrt(shares)) / n;
  const between = sure ? (t975(n - 1) * sd) / Math.sqrt(n) : null;
  const general = between === null ? null : Math.max(between, these ?? 0);
  const lag = n === 0 ? 0 : average(both.map(lagOf));
  // Pairs of trials with b after a, less those before: 1 where everybody skated AB or AABB.
  const leads = both.map((s) => average(s.b.flatMap((y) => s.a.map((x) => Math.sign(y.x - x.x)))));
  const oneSided = n > 0 && Math.abs(average(leads)) >= 0.75;
  const blocks = leads.filter((lead) => Math.abs(lead) >= 0.75).length > n / 2;
  const band = study.worthwhile ?? (n < 2 ? null : 0.2 * deviation(pairs.map((p) => (p.a + p.b) / 2)));
  const p = {
    ...{
      a: study.techniques[0]!.name,
      b: study.techniques[1]!.name,
      n,
      pairs,
      mean,
      error,
      band,
      these,
      general,
      lag,
      blocks,
      leads,
    },
    half: sure ? between : n >= 2 ? 0 : null,
    pT: sure ? twoSided(mean / (sd / Math.sqrt(n)), n - 1) : null,
    // Means of one to three times in hundredths or thousandths, or of ten in hundredths, are whole in these.
    pFlip: n === 0 ? 1 : signFlip(d, 1 / 6000),
    smallest: 2 / 2 ** n,
    said: study.worthwhile !== null,
    steady: withoutChange(skaters, these ?? 0),
    verdicts: plainVerdicts(skaters, band, oneSided),
    pAlike:
      n < 2 || error === null || error.value < 1e-12
        ? null
        : upperF(sd ** 2 / ((error.value ** 2 * shares) / n), n - 1, error.df),
  };
  const response = p.pAlike === null ? null : responseOf(sd, (error!.value ** 2 * shares) / n, n - 1, df);
  return { ...p, response, conclusion: conclusion({ ...p, response }, skaters, oneSided) };
}

/** The variance beyond what trials make, and the two that would give this F or more, or less, in 1 of 40. */
function responseOf(sd: number, fromTrials: number, df1: number, df2: number): Plain["response"] {
  const f = sd ** 2 / fromTrials;
  const quantile = (upper: number) => {
    let [low, high] = [0, 1e4];
    for (let k = 0; k < 44; k++) {
      const middle = (low + high) / 2;
      if (upperF(middle, df1, df2) > upper) low = middle;
      else high = middle;
    }
    return low;
  };
  const beyond = (ratio: number) => Math.sqrt(Math.max(0, ratio - 1) * fromTrials);
  return { sd: beyond(f), ci95: [beyond(f / quantile(0.025)), beyond(f / quantile(0.975))] };
}

/** The strongest that may be said; in the order of what stands against it. */
function conclusion(
  p: Omit<Plain, "conclusion">,
  skaters: readonly PlainSkater[],
  oneSided: boolean,
): Plain["conclusion"] {
  const { n, mean, lag, steady, these, general } = p;
  if (n < 2) return n === 0 ? "nobody" : "one";
  if (oneSided) return "order";
  const said = [...p.verdicts.values()].map((v) => v.verdict);
  if (said.includes("faster") && said.includes("slower") && (p.pAlike === null || p.pAlike <= 0.05))
    return "depends";
  const balanced = Math.abs(lag) <= 0.05;
  const tests = p.pFlip <= 0.05 && (p.pT === null || p.pT <= 0.05);
  const still =
    balanced || (steady !== null && Math.abs(steady.value) > steady.u95 && steady.value * mean > 0);
  if (p.smallest <= 0.05 && tests && (general === null || Math.abs(mean) > general) && still)
    return "settled";
  const band = p.said ? p.band! : 0;
  const within = (value: number, u95: number | null) => u95 !== null && Math.abs(value) + u95 < band;
  const others =
    p.smallest > 0.05
      ? within(mean, these)
      : p.pT !== null &&
        Math.abs(mean) + (t95(n - 1) * deviation(p.pairs.map((x) => x.d))) / Math.sqrt(n) <= band;
  if (others && within(mean, general) && (balanced || (steady !== null && within(steady.value, steady.u95))))
    return "alike";
  if (these === null || Math.abs(mean) <= these || p.blocks) return "open";
  if (balanced) return "these";
  const change = withoutChangeOfThese(skaters, mean, lag, these);
  return change ? "these" : "open";
}

/** 95 % quantile of t: the two-sided 10 %. */
function t95(df: number): number {
  let [low, high] = [1, 10];
  for (let k = 0; k < 50; k++) {
    const middle = (low + high) / 2;
    if (twoSided(middle, df) > 0.1) low = middle;
    else high = middle;
  }
  return low;
}

/** Does the difference of these skaters stand without a steady change? Their slope by sums over repeats. */
function withoutChangeOfThese(
  skaters: readonly PlainSkater[],
  mean: number,
  lag: number,
  these: number,
): boolean {
  const cells = skaters.flatMap((s) => [s.a, s.b]).filter((c) => c.length > 1);
  const points = cells.flatMap((c) => {
    const [x, y] = [average(c.map((t) => t.x)), average(c.map((t) => t.y))];
    return c.map((t) => ({ x: t.x - x, y: t.y - y }));
  });
  const xx = points.reduce((sum, q) => sum + q.x ** 2, 0);
  const df = points.length - cells.length - 1;
  if (df < 1 || xx === 0) return false;
  const slope = points.reduce((sum, q) => sum + q.x * q.y, 0) / xx;
  const rest = points.reduce((sum, q) => sum + (q.y - slope * q.x) ** 2, 0);
  if (rest < 1e-12) return false;
  const doubt = t975(df) * Math.sqrt(rest / df / xx) * lag;
  const left = mean - slope * lag;
  return left * mean > 0 && Math.abs(left) > Math.hypot(these, doubt);
}

type Check = (m: RegExpExecArray) => void;

/** The first pattern that the sentence is, and its check. */
export function holds(sentence: string, patterns: readonly (readonly [RegExp, Check])[]): void {
  for (const [pattern, check] of patterns) {
    const found = pattern.exec(sentence);
    if (!found) continue;
    check(found);
    return;
  }
  expect.fail(`nobody checks: ${sentence}`);
}

/** "0.05" or "0.05 to 0.21" against the sizes it speaks of. */
export function range(text: string, sizes: readonly number[], what: string): void {
  const [low, high = low] = text.split(" to ");
  says(low!, Math.min(...sizes), what);
  says(high!, Math.max(...sizes), what);
}

export const P = "p (?:= |< )([\\d.]+)";
/** p is printed to two significant digits. */
export function saysP(printed: string, value: number, what: string): void {
  const digits = Number(printed);
  if (value < 0.0001) return void expect(digits, what).toBe(0.0001);
  const unit = 10 ** (Math.floor(Math.log10(value)) - 1);
  // 0.995 and more is printed as 1.0.
  const half = value >= 0.995 ? 0.005 : 0.5 * unit;
  expect(Math.abs(digits - value), `${what}: ${printed} for ${value}`).toBeLessThanOrEqual(half + 1e-9);
}

/** Half-width of what is claimed: of these skaters, or of skaters in general. */
export const claimedHalf = (p: Plain) =>
  p.conclusion === "these" || p.general === null ? p.these! : p.general;

/** All of the difference that is claimed is less than somebody said would matter. */
export function tooSmall(p: Plain): boolean {
  return p.said && Math.abs(p.mean) + claimedHalf(p) < p.band!;
}
