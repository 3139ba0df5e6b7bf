import { parseHTML } from "linkedom";
import { describe, expect, it } from "vitest";
import { reportHtml, reportPages } from "../../src/report/page/reportPages.ts";
import type { Trial } from "../../src/study/types.ts";
import { type MadeUpStudy, madeUpStudy } from "../helpers/madeUpStudy.ts";
import { average, deviation, signFlip, squares, t975, twoSided } from "../helpers/plainStatistics.ts";

// A blind reader: every sentence of the report about a difference is taken apart, and its numbers and its claim are
// held against what `plainStatistics` makes of the typed times, which shares nothing with the code of the sentences.
// A sentence that no pattern here knows fails the test: nothing is said that nobody checks.

const SEEDS = 60;
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
const count = (word: string) => (/^\d+$/.test(word) ? Number(word) : WORDS.indexOf(word.toLowerCase()));
const NUMBER = "(-?\\d+(?:\\.\\d+)?)";

/** What was printed is the number, to the digits that were printed. */
function says(printed: string, value: number, what: string): void {
  const places = printed.split(".")[1]?.length ?? 0;
  expect(Math.abs(Number(printed) - value), `${what}: ${printed} for ${value}`).toBeLessThanOrEqual(
    0.5 * 10 ** -places + 1e-9,
  );
}

interface Plain {
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
function plainly({ whole: { study } }: MadeUpStudy, without: ReadonlySet<string> = new Set()): Plain {
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
function holds(sentence: string, patterns: readonly (readonly [RegExp, Check])[]): void {
  for (const [pattern, check] of patterns) {
    const found = pattern.exec(sentence);
    if (!found) continue;
    check(found);
    return;
  }
  expect.fail(`nobody checks: ${sentence}`);
}

/** "0.05" or "0.05 to 0.21" against the sizes it speaks of. */
function range(text: string, sizes: readonly number[], what: string): void {
  const [low, high = low] = text.split(" to ");
  says(low!, Math.min(...sizes), what);
  says(high!, Math.max(...sizes), what);
}

/** "mean 0.12 ± 0.07 s faster, so either way is possible" */
function meanSaid(text: string, p: Plain): void {
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

function headline(sentence: string, p: Plain): void {
  const faster = p.pairs.map((x) => -x.d).filter((d) => d > 1e-9);
  const slower = p.pairs.map((x) => x.d).filter((d) => d > 1e-9);
  const same = p.n - faster.length - slower.length;
  const sizes = (word: string) => (word === "faster" ? faster : slower);
  const R = "(-?[\\d.]+(?: to -?[\\d.]+)?)";
  holds(sentence, [
    [/^Nobody can be compared yet\.$/, () => expect(p.n).toBe(0)],
    [
      new RegExp(`^(?!Both)(\\w+) skated ${p.b} (faster|slower), by ${NUMBER}(?: ± ${NUMBER})? s\\.$`),
      ([, who, word, size, u95]) => {
        expect(p.n).toBe(1);
        expect(who).toBe(p.pairs[0]!.name);
        says(size!, sizes(word!)[0]!, sentence);
        expect(u95 === undefined).toBe(!p.error || p.error.value === 0);
      },
    ],
    [
      new RegExp(`^(All \\w+|Both|\\w+) skated ${p.a} and ${p.b} in the same time\\.$`),
      () => expect(same).toBe(p.n),
    ],
    [
      new RegExp(`^(All (\\w+)|Both) skated ${p.b} (faster|slower), by ${R} s(?: \\((mean .*)\\))?\\.$`),
      ([, , word, way, by, mean]) => {
        expect(word ? count(word) : 2).toBe(p.n);
        expect(sizes(way!)).toHaveLength(p.n);
        range(by!, sizes(way!), sentence);
        if (mean) meanSaid(mean, p);
      },
    ],
    [
      new RegExp(
        `^(\\w+) of (\\w+) skated ${p.b} (faster|slower), by ${R} s(?:; (\\w+) (faster|slower), by ${R} s)?(?:; (\\w+) the same)?(?: \\((mean .*)\\))?\\.$`,
      ),
      ([, some, all, way, by, others, otherWay, otherBy, alike, mean]) => {
        expect(count(all!)).toBe(p.n);
        expect(sizes(way!)).toHaveLength(count(some!));
        range(by!, sizes(way!), sentence);
        expect(otherWay ? sizes(otherWay).length : 0).toBe(others ? count(others) : 0);
        if (otherWay) {
          expect(otherWay).not.toBe(way);
          range(otherBy!, sizes(otherWay), sentence);
        }
        expect(alike ? count(alike) : 0).toBe(same);
        expect(count(some!) + (others ? count(others) : 0) + (alike ? count(alike) : 0)).toBe(p.n);
        if (mean) meanSaid(mean, p);
      },
    ],
  ]);
}

const P = "p (?:= |< )([\\d.]+)";
/** p is printed to two significant digits. */
function saysP(printed: string, value: number, what: string): void {
  const digits = Number(printed);
  if (value < 0.0001) return void expect(digits, what).toBe(0.0001);
  const unit = 10 ** (Math.floor(Math.log10(value)) - 1);
  // 0.995 and more is printed as 1.0.
  const half = value >= 0.995 ? 0.005 : 0.5 * unit;
  expect(Math.abs(digits - value), `${what}: ${printed} for ${value}`).toBeLessThanOrEqual(half + 1e-9);
}

/** What chance would do and what is worth it. */
function support(sentence: string, p: Plain): void {
  const undecided = p.smallest > 0.05;
  const agree = p.pFlip <= p.smallest * (1 + 1e-9);
  const alone = (rest: string | undefined) => {
    expect(rest !== undefined, sentence).toBe(p.pT !== null && p.pT <= 0.05);
    if (rest) saysP(rest, p.pT!, sentence);
  };
  const tail = `(?: The two tests disagree: t alone gives ${P}, but it takes for granted how differences spread, which (?:\\w+) skaters cannot show\\.)?$`;
  const worth = (low: string, high: string, band: string, from: string | undefined) => {
    says(low, p.mean - p.half!, sentence);
    says(high, p.mean + p.half!, sentence);
    says(band, p.band!, sentence);
    return from;
  };
  const interval = `^The mean's 95 % interval, ${NUMBER} to ${NUMBER} s,`;
  const within = `\\(± ${NUMBER} s(, 0\\.2 of the spread between skaters, as nobody said what is)?\\)\\.`;
  const granted = `( It takes for granted how differences spread, which (\\w+) skaters cannot show\\.)?( What was said of t holds for this interval too\\.)?$`;
  holds(sentence, [
    [/ has (no|only|nothing|a |the )|there are no trials/i, () => expect(p.n).toBe(0)],
    [
      /^One skater says nothing about others\.( Without repeats nobody knows how much one trial scatters\.)?$/,
      ([, repeats]) => {
        expect(p.n).toBe(1);
        expect(repeats !== undefined).toBe(p.error === null);
      },
    ],
    [
      new RegExp(
        `^(\\w+) skaters cannot settle it alone: even (both|all (\\w+)) agreeing happens by chance once in (\\d+) \\(sign-flip ${P}, the smallest (\\w+) skaters can give\\)\\. (\\w+) more who agrees? would bring that to once in 32\\.${tail}`,
      ),
      ([, who, , all, oneIn, flip, again, more, t]) => {
        expect([count(who!), all ? count(all) : 2, count(again!)]).toEqual([p.n, p.n, p.n]);
        expect(undecided && agree).toBe(true);
        expect(Number(oneIn)).toBe(1 / p.smallest);
        saysP(flip!, p.pFlip, sentence);
        expect(count(more!) + p.n).toBe(6);
        alone(t);
      },
    ],
    [
      new RegExp(
        `^(\\w+) skaters cannot settle it alone: even (both|all (\\w+)) agreeing would happen by chance once in (\\d+) \\(sign-flip ${P}\\), and they did not agree as clearly as that \\(${P}\\)\\.${tail}`,
      ),
      ([, who, , all, oneIn, smallest, flip, t]) => {
        expect([count(who!), all ? count(all) : 2]).toEqual([p.n, p.n]);
        expect(undecided && !agree).toBe(true);
        expect(Number(oneIn)).toBe(1 / p.smallest);
        saysP(smallest!, p.smallest, sentence);
        saysP(flip!, p.pFlip, sentence);
        alone(t);
      },
    ],
    [
      new RegExp(
        `^This does not settle it: the two tests fall on opposite sides of 1 in 20 \\(t ${P}, sign-flip ${P}\\)\\.$`,
      ),
      ([, t, flip]) => {
        expect(!undecided && p.pT! <= 0.05 !== p.pFlip <= 0.05).toBe(true);
        saysP(t!, p.pT!, sentence);
        saysP(flip!, p.pFlip, sentence);
      },
    ],
    [
      new RegExp(
        `^If the techniques made no difference, chance would do this or more about once in (\\d+) \\(${P}(, the smallest (\\w+) skaters can give)?\\)\\.$`,
      ),
      ([, oneIn, flip, least]) => {
        expect(!undecided && p.pFlip <= 0.05 && p.pT! <= 0.05).toBe(true);
        saysP(flip!, p.pFlip, sentence);
        expect(Math.abs(Number(oneIn) - 1 / p.pFlip)).toBeLessThanOrEqual(0.5);
        expect(least !== undefined).toBe(agree);
      },
    ],
    [
      new RegExp(
        `^This does not settle it: if the techniques made no difference, chance would do this or more (often|about once in (\\d+)) \\(${P}\\)\\.$`,
      ),
      ([, , oneIn, flip]) => {
        expect(!undecided && p.pFlip > 0.05).toBe(true);
        saysP(flip!, p.pFlip, sentence);
        if (oneIn) expect(Math.abs(Number(oneIn) - 1 / p.pFlip)).toBeLessThanOrEqual(0.5);
        else expect(p.pFlip).toBeGreaterThanOrEqual(0.4);
      },
    ],
    [
      new RegExp(
        `${interval} lies wholly (beyond|within) what is too small to be worth it ${within}${granted}`,
      ),
      ([, low, high, where, band, from, few, n, too]) => {
        worth(low!, high!, band!, from);
        const [least, most] = [p.mean - p.half!, p.mean + p.half!];
        if (where === "beyond") expect(least > p.band! || most < -p.band!).toBe(true);
        else expect(least > -p.band! && most < p.band!).toBe(true);
        // The sentence before has said it of t, and only then.
        const ofT = undecided && p.pT !== null && p.pT <= 0.05;
        expect(few !== undefined).toBe(undecided && !ofT);
        expect(too !== undefined).toBe(ofT);
        if (few) expect(count(n!)).toBe(p.n);
      },
    ],
    [
      new RegExp(
        `${interval} also holds differences too small to be worth it ${within}( By the equivalence test they are alike within it \\(${P}\\)\\.)?$`,
      ),
      ([, low, high, band, from]) => {
        worth(low!, high!, band!, from);
        const [least, most] = [p.mean - p.half!, p.mean + p.half!];
        expect(least > p.band! || most < -p.band! || (least > -p.band! && most < p.band!)).toBe(false);
      },
    ],
  ]);
}

/** Is a trial's interval outside what was asked, inside, or neither? */
function asAsked(made: MadeUpStudy, trial: Trial): "yes" | "no" | "can't tell" {
  const found = made.suspect.has(trial.id) ? undefined : made.measured.get(trial.id);
  const band = made.whole.study.techniques.find((t) => t.id === trial.technique)!.asked[0];
  if (!found || !band) return "can't tell";
  const [low, high] = [found.touchdown - found.u95, found.touchdown + found.u95];
  const [min, max] = [band.min ?? -Infinity, band.max ?? Infinity];
  return low >= min && high <= max ? "yes" : high < min || low > max ? "no" : "can't tell";
}

function cares(sentences: readonly string[], made: MadeUpStudy): void {
  const { study } = made.whole;
  const two = study.trials.filter((t) => t.valid && (t.technique === "t0" || t.technique === "t1"));
  const wrong = two.filter((t) => asAsked(made, t) === "no");
  const open = two.filter((t) => asAsked(made, t) === "can't tell").length;
  const banded = study.techniques[0]!.asked.length > 0;
  const doubted = two.filter((t) => made.suspect.has(t.id));
  const heard = { wrong: false, doubted: false, open: false, many: false };
  const label = (t: Trial) => {
    const who = study.skaters.find((s) => s.id === t.skater)!.name;
    return `${who}, ${study.techniques.find((x) => x.id === t.technique)!.name}, trial ${t.repeat}`;
  };
  const without = (trials: readonly Trial[], some: string, which: string, rest: string): void => {
    expect(count(some)).toBe(trials.length);
    expect(new Set(which.split("; "))).toEqual(new Set(trials.map(label)));
    const left = plainly(made, new Set(trials.map((t) => t.id)));
    if (left.n === 0) {
      expect(rest).toBe("nobody is left to compare");
      return;
    }
    const [, said, n] = /^(.*), (\w+) skaters?$/.exec(rest)!;
    expect(count(n!)).toBe(left.n);
    if (said === "too little is left to compare") expect(left.half === null || left.pT === null).toBe(true);
    else meanSaid(said!, left);
  };
  for (const sentence of sentences)
    holds(sentence, [
      [
        /^(\w+) trials? did not show the technique asked for \((.*)\)\. Without (?:it|them): (.*)\.$/,
        ([, some, which, rest]) => {
          heard.wrong = true;
          without(wrong, some!, which!, rest!);
        },
      ],
      [
        /^The clips? of (\w+) timed trials? (?:does|do) not fit (?:its time|their times) \((.*)\): .* may be another trial's\. Without (?:it|them): (.*)\.$/,
        ([, some, which, rest]) => {
          heard.doubted = true;
          without(doubted, some!, which!, rest!);
        },
      ],
      [
        /^(\w+) of (\w+) trials can’t be judged against what was asked\.$/,
        ([, some, all]) => {
          heard.open = true;
          expect([count(some!), count(all!)]).toEqual([open, two.length]);
        },
      ],
      [
        /^No trial can be judged against what was asked yet\.$/,
        () => {
          heard.open = true;
          expect(open).toBe(two.length);
        },
      ],
      [
        /^The study has (\w+) techniques; this compares two of them\./,
        ([, all]) => {
          heard.many = true;
          expect(count(all!)).toBe(study.techniques.length);
        },
      ],
    ]);
  expect(heard).toEqual({
    wrong: wrong.length > 0,
    doubted: doubted.length > 0,
    open: banded && open > 0,
    many: study.techniques.length > 2,
  });
}

/** A skater's own page: the verdict, the means, the reason. */
function skater(name: string, said: string, why: string, p: Plain): void {
  const pair = p.pairs.find((x) => x.name === name);
  if (!pair) {
    expect(said).toMatch(new RegExp(`^${name} cannot be compared: `));
    return;
  }
  const u95 = p.error && t975(p.error.df) * p.error.value * Math.sqrt(1 / pair.nA + 1 / pair.nB);
  const band = p.band ?? 0;
  const clear = u95 !== null && u95 > 0 && Math.abs(pair.d) - u95 > band;
  const size = (printed: string, half: string | undefined, value: number) => {
    says(printed, value, said);
    expect(half === undefined, said).toBe(!u95);
    if (half) says(half, u95!, said);
  };
  holds(said, [
    [
      new RegExp(`^(Faster|Slower) with ${p.b}, by ${NUMBER}(?: ± ${NUMBER})? s\\.$`),
      ([, word, value, half]) => {
        expect(clear, said).toBe(true);
        expect(word).toBe(pair.d < 0 ? "Faster" : "Slower");
        size(value!, half, Math.abs(pair.d));
      },
    ],
    [
      new RegExp(`^(Can’t tell|Not worth it): ${p.b} minus ${p.a} is ${NUMBER}(?: ± ${NUMBER})? s\\.$`),
      ([, word, value, half]) => {
        expect(clear, said).toBe(false);
        const small = p.band !== null && u95 !== null && u95 > 0 && Math.abs(pair.d) + u95 < band;
        expect(word === "Not worth it").toBe(small);
        size(value!, half, pair.d);
      },
    ],
  ]);
  const means = new RegExp(
    `^Mean time ${NUMBER} s with ${p.a} \\((\\d) (trials?)\\), ${NUMBER} s with ${p.b} \\((\\d) (trials?)\\)\\. (.*?)(?: Worth it here: more than ${NUMBER} s\\.)?$`,
  ).exec(why);
  if (!means) expect.fail(`no means: ${why}`);
  const [, a, nA, trialsA, b, nB, trialsB, reason, worth] = means!;
  says(a!, pair.a, why);
  says(b!, pair.b, why);
  expect([Number(nA), Number(nB)]).toEqual([pair.nA, pair.nB]);
  expect([trialsA === "trial", trialsB === "trial"]).toEqual([pair.nA === 1, pair.nB === 1]);
  if (worth) says(worth, p.band!, why);
  holds(reason!, [
    [/^Without repeats nobody knows/, () => expect(u95).toBeNull()],
    [/^The repeats are all exactly alike/, () => expect(u95).toBe(0)],
    [/^The whole interval is (beyond what is too small|on one side of zero)/, () => expect(clear).toBe(true)],
    [/^Any difference is too small/, () => expect(Math.abs(pair.d) + u95!).toBeLessThan(band)],
    [
      /^The difference is within the scatter/,
      () => expect(Math.abs(pair.d)).toBeLessThanOrEqual(u95! + 1e-9),
    ],
    [
      /^There is a difference, but it may be too small/,
      () => {
        expect(Math.abs(pair.d)).toBeGreaterThan(u95!);
        expect(Math.abs(pair.d) - u95!).toBeLessThanOrEqual(band);
      },
    ],
  ]);
}

/** The rows under "The numbers" whose numbers are plain. */
function numbers(rows: ReadonlyMap<string, string>, p: Plain): void {
  const get = (label: string) => [...rows].find(([l]) => l.startsWith(label))?.[1] ?? "";
  const mean = new RegExp(
    `^${NUMBER} ± ${NUMBER} s \\(${NUMBER} to ${NUMBER} s\\)( faster| slower)?(, or either way)?`,
  ).exec(get("Mean difference"));
  if (p.n >= 2 && p.pT !== null) {
    says(mean![1]!, p.mean, "mean");
    says(mean![2]!, p.half!, "half-width");
    if (mean![5]) expect(mean![5].trim()).toBe(p.mean < 0 ? "faster" : "slower");
    if (mean![5]) expect(mean![6] !== undefined).toBe(Math.abs(p.mean) <= p.half!);
    const t = new RegExp(`^${NUMBER}, ${P}$`).exec(get("t, "))!;
    says(t[1]!, (p.mean * t975(p.n - 1)) / p.half!, "t");
    saysP(t[2]!, p.pT, "p of t");
    says(
      new RegExp(`^${NUMBER} s$`).exec(get("SD of differences"))![1]!,
      deviation(p.pairs.map((x) => x.d)),
      "SD",
    );
  }
  if (p.n >= 1) {
    const flip = new RegExp(`^${P}`).exec(get("Sign-flip"));
    if (flip) saysP(flip[1]!, p.pFlip, "sign-flip");
  }
  const error = new RegExp(`^${NUMBER} s \\(`).exec(get("Typical error"));
  expect(error !== null, get("Typical error")).toBe(p.error !== null);
  if (error) says(error[1]!, p.error!.value, "typical error");
}

/** One slope for all, each skater keeping an own level, over means of skater and technique. */
function slope(made: MadeUpStudy, of: "touchdown" | "width"): number {
  const { study } = made.whole;
  let [xx, xy] = [0, 0];
  for (const { id } of study.skaters) {
    const cells = study.techniques.flatMap((technique) => {
      const trials = study.trials.flatMap((t) => {
        const found = made.suspect.has(t.id) ? undefined : made.measured.get(t.id);
        return t.skater === id && t.technique === technique.id && t.valid && t.time !== null && found
          ? [{ x: found[of], y: t.time }]
          : [];
      });
      return trials.length === 0
        ? []
        : [{ x: average(trials.map((t) => t.x)), y: average(trials.map((t) => t.y)) }];
    });
    if (cells.length < 2) continue;
    const [x, y] = [average(cells.map((c) => c.x)), average(cells.map((c) => c.y))];
    for (const c of cells) {
      xx += (c.x - x) ** 2;
      xy += (c.x - x) * (c.y - y);
    }
  }
  return xy / xx;
}

function within(sentence: string, made: MadeUpStudy): void {
  const names = { "stride width": "width", "touchdown to track midline": "touchdown" } as const;
  holds(sentence, [
    [
      new RegExp(`^Within a skater, 10 cm more (.*) went with ${NUMBER} ± ${NUMBER} s (less|more) time \\(`),
      ([, name, size, half, way]) => {
        const ten = slope(made, names[name as keyof typeof names]) / 10;
        says(size!, Math.abs(ten), sentence);
        expect(way).toBe(ten < 0 ? "less" : "more");
        expect(Number(half)).toBeLessThan(Number(size) + 1e-9);
      },
    ],
    [
      new RegExp(
        `^Within a skater, 10 cm more (.*) went with anything from ${NUMBER} s less to ${NUMBER} s more time \\(.*: no relation can be told\\.$`,
      ),
      ([, name, less, more]) => {
        const places = less!.split(".")[1]?.length ?? 0;
        const ten = slope(made, names[name as keyof typeof names]) / 10;
        // The slope is the interval's middle.
        expect(Math.abs((Number(more) - Number(less)) / 2 - ten)).toBeLessThanOrEqual(10 ** -places);
      },
    ],
    [/^That they go together does not prove/, () => undefined],
    [/^Time against [\w ]+: \w/, () => undefined],
  ]);
}

function achieved(sentence: string, made: MadeUpStudy): void {
  const { study } = made.whole;
  const cell = (skaterId: string, technique: string) =>
    study.trials.flatMap((t) => {
      const found = made.suspect.has(t.id) ? undefined : made.measured.get(t.id);
      return t.skater === skaterId && t.technique === technique && t.valid && found ? [found.touchdown] : [];
    });
  const d = study.skaters.flatMap(({ id }) => {
    const [a, b] = [cell(id, "t0"), cell(id, "t1")];
    return a.length && b.length ? [average(b) - average(a)] : [];
  });
  holds(sentence, [
    [/^Neither .* has a band of what was asked/, () => expect(study.techniques[0]!.asked).toEqual([])],
    [
      /^No skater has touchdown to track midline measured with both techniques\.$/,
      () => expect(d).toEqual([]),
    ],
    [
      new RegExp(
        `^The techniques were asked to differ by at least 0\\.06 m in touchdown to track midline; they differed by ${NUMBER}(?: ± ${NUMBER})? m(, the wrong way)? \\((\\w+) skaters?\\), (.*?)\\.(?: Less than was asked for: (.*)\\.)?$`,
      ),
      ([, size, half, wrongWay, n, verdict, short]) => {
        expect(count(n!)).toBe(d.length);
        says(size!, Math.abs(average(d)), sentence);
        expect(wrongWay !== undefined).toBe(average(d) < 0);
        const u95 = d.length < 2 ? null : (t975(d.length - 1) * deviation(d)) / Math.sqrt(d.length);
        if (half) says(half, u95!, sentence);
        if (verdict === "in the mean all that was asked")
          expect(average(d) - u95!).toBeGreaterThanOrEqual(0.06 - 1e-9);
        if (/less than was asked/.test(verdict!)) expect(average(d) + u95!).toBeLessThan(0.06);
        if (/^more than was asked, but/.test(verdict!)) {
          expect(average(d)).toBeGreaterThanOrEqual(0.06 - 1e-9);
          expect(average(d) - u95!).toBeLessThan(0.06);
        }
        if (short) expect(short.split(", ")).toHaveLength(d.filter((x) => x < 0.06).length);
      },
    ],
  ]);
}

/** What no sentence may hold. */
function wellFormed(text: string): void {
  const never =
    /NaN|undefined|Infinity|\bnull\b|\[object|p = 0(?![.\d])|\bnone (skaters|trials)\b|\.\.|, ,|\(\)| {2,}\S| ,/;
  expect(never.exec(text)?.[0]).toBeUndefined();
  const one =
    /(?<![\d.,])\b(?:1|one) (?:trials|skaters|numbers|degrees|strides|points|marks|means|techniques|clips|differences)\b/i;
  expect(one.exec(text)?.[0]).toBeUndefined();
  const more =
    /(?<![\d.])\b(?:[2-9]|\d\d|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve) (?:trial|skater|number|degree|stride|mean|technique|clip)\b(?!['’,:])/i;
  expect(more.exec(text)?.[0]).toBeUndefined();
}

function reportOf(made: MadeUpStudy) {
  const { document } = parseHTML("<!doctype html><html><body></body></html>");
  const pages = reportPages(made.whole, {
    ...{ names: "names", readingOf: made.readingOf, document, made: "Made on 1 March 2026." },
    pictureOf: () => null,
  });
  const { document: page } = parseHTML(reportHtml(pages));
  for (const e of page.querySelectorAll("svg,style")) e.remove();
  const plain = (e: { textContent: string | null } | null) =>
    (e?.textContent ?? "").replaceAll("\u00a0", " ").replaceAll("−", "-").trim();
  const texts = (selector: string) => [...page.querySelectorAll(selector)].map(plain);
  return { page, plain, texts };
}

describe("every sentence of the report about a difference", () => {
  it("rests on t quantiles and p as the handbooks have them", () => {
    // NIST/SEMATECH e-Handbook 1.3.6.7.2: upper 0.025 of t with 1, 2, 5, 10, 30 degrees of freedom.
    for (const [df, t] of [
      [1, 12.706],
      [2, 4.303],
      [5, 2.571],
      [10, 2.228],
      [30, 2.042],
    ] as const)
      expect(Math.abs(t975(df) - t)).toBeLessThan(0.0006);
    // Student's sleep data: t -4.0621, 9 degrees of freedom, p 0.002833.
    expect(Math.abs(twoSided(-4.062127683, 9) - 0.00283289)).toBeLessThan(1e-7);
  });

  it.each(Array.from({ length: SEEDS }, (_, seed) => seed))(
    "is backed by the numbers of made-up study %i",
    (seed) => {
      const made = madeUpStudy(seed);
      const p = plainly(made);
      const { page, plain, texts } = reportOf(made);
      wellFormed([...page.querySelectorAll("p,li,td,th,h1,h2,caption")].map(plain).join("\n"));
      const [head, ...rest] = texts(".study header p:not(.quiet):not(.care)");
      headline(head!, p);
      for (const sentence of rest) support(sentence, p);
      cares(texts(".study header p.care"), made);
      for (const skaterPage of page.querySelectorAll(".skater")) {
        const name = plain(skaterPage.querySelector("h2"));
        const said = skaterPage.querySelector("p.headline");
        skater(name, plain(said), plain(said!.nextElementSibling), p);
      }
      const rows = new Map(
        [...page.querySelectorAll(".statistics tbody tr")].map((row) => [
          plain(row.querySelector("th")),
          plain(row.querySelector("td")),
        ]),
      );
      numbers(rows, p);
      const under = (title: string) => {
        const found: string[] = [];
        const h2 = [...page.querySelectorAll(".study h2")].find((h) => plain(h) === title);
        for (let e = h2?.nextElementSibling; e && e.tagName !== "H2"; e = e.nextElementSibling)
          if (e.tagName === "P") found.push(plain(e));
        return found;
      };
      for (const sentence of under("Time against what was measured, within skater")) within(sentence, made);
      for (const sentence of under("Did they do what was asked?"))
        if (sentence !== "No trial is measured yet.") achieved(sentence, made);
    },
  );
});
