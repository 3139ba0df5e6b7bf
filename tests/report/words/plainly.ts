import { expect } from "vitest";
import type { MadeUpStudy } from "../../helpers/madeUpStudy.ts";
import { average, deviation, signFlip, squares, t975, twoSided } from "../../helpers/plainStatistics.ts";

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
}

/** The comparison of the first two techniques, from the times alone. */
export function plainly({ whole: { study } }: MadeUpStudy, without: ReadonlySet<string> = new Set()): Plain {
  const cell = (skater: string, technique: string) =>
    study.trials.flatMap((t) =>
      t.skater === skater && t.technique === technique && t.valid && t.time !== null && !without.has(t.id)
        ? [t.time]
        : [],
    );
  const cells = study.skaters.map((s) => ({ name: s.name, a: cell(s.id, "t0"), b: cell(s.id, "t1") }));
  const pairs = cells.flatMap(({ name, a, b }) =>
    a.length === 0 || b.length === 0
      ? []
      : [{ name, a: average(a), b: average(b), nA: a.length, nB: b.length, d: average(b) - average(a) }],
  );
  const n = pairs.length;
  const d = pairs.map((p) => p.d);
  const mean = n === 0 ? 0 : average(d);
  const sd = n < 2 ? 0 : deviation(d);
  const sure = n >= 2 && sd > 1e-9;
  const own = cells.flatMap((c) => [c.a, c.b]);
  const df = own.reduce((sum, c) => sum + Math.max(0, c.length - 1), 0);
  const ss = own.reduce((sum, c) => sum + (c.length === 0 ? 0 : squares(c)), 0);
  return {
    ...{ a: study.techniques[0]!.name, b: study.techniques[1]!.name, n, pairs, mean },
    half: sure ? (t975(n - 1) * sd) / Math.sqrt(n) : n >= 2 ? 0 : null,
    pT: sure ? twoSided(mean / (sd / Math.sqrt(n)), n - 1) : null,
    // Means of one to three times in hundredths are whole sixhundredths.
    pFlip: n === 0 ? 1 : signFlip(d, 1 / 600),
    smallest: 2 / 2 ** n,
    error: df === 0 ? null : { value: Math.sqrt(ss / df), df },
    band: study.worthwhile ?? (n < 2 ? null : 0.2 * deviation(pairs.map((p) => (p.a + p.b) / 2))),
  };
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

/** "mean 0.12 ± 0.07 s faster, so either way is possible" */
export function meanSaid(text: string, p: Plain): void {
  const m = new RegExp(
    `^mean (difference )?${NUMBER} ± ${NUMBER} s( faster| slower)?(, so either way is possible)?$`,
  ).exec(text);
  if (!m) expect.fail(`no mean: ${text}`);
  says(m![2]!, Math.abs(p.mean), text);
  says(m![3]!, p.half!, text);
  if (m![4]) expect(m![4].trim(), text).toBe(p.mean < 0 ? "faster" : "slower");
  const open = Math.abs(p.mean) <= p.half!;
  if (m![4]) expect(m![5] !== undefined, text).toBe(open);
  if (m![1]) expect(Number(m![2])).toBe(0);
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
