import { expect } from "vitest";
import type { Trial } from "../../../src/study/types.ts";
import type { MadeUpStudy } from "../../helpers/madeUpStudy.ts";
import { count, holds, meanSaid, NUMBER, P, type Plain, plainly, range, says, saysP } from "./plainly.ts";

export function headline(sentence: string, p: Plain): void {
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

/** What chance would do and what is worth it. */
export function support(sentence: string, p: Plain): void {
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

export function cares(sentences: readonly string[], made: MadeUpStudy): void {
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
