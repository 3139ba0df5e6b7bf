import { expect } from "vitest";
import type { Trial } from "../../../src/study/types.ts";
import { DEGREES_A_METRE, type MadeUpStudy } from "../../helpers/madeUpStudy.ts";
import { average, deviation, t975, twoSided } from "../../helpers/plainStatistics.ts";
import { count, holds, NUMBER, type Plain, plainly, range, says } from "./plainly.ts";

const R = "(-?[\\d.]+(?: to -?[\\d.]+)?)";

/** "Ada, Bo and Cleo" */
const names = (text: string) => text.split(/, | and /);

/** Who was faster and slower, told of the technique with the better mean: "; three of five faster with it, one slower" */
function mixedSaid(text: string, p: Plain): void {
  const sign = p.mean <= 0 ? -1 : 1;
  const it = sign < 0 ? p.b : p.a;
  const m = new RegExp(
    `^; (?:(?:(\\w+) of (\\w+)|(both|all \\w+)) (faster|slower) with ${it})?(?:, (\\w+) slower)?(?:(?:, )?(\\w+) the same)?$`,
  ).exec(text);
  if (!m) expect.fail(`no counts: ${text}`);
  const [, some, all, whole, word, against, rest] = m!;
  const along = p.pairs.filter((x) => x.d * sign > 1e-9).length;
  const off = p.pairs.filter((x) => x.d * sign < -1e-9).length;
  if (word) {
    expect(whole ? (whole === "both" ? 2 : count(whole.slice(4))) : count(all!)).toBe(p.n);
    expect(whole ? p.n : count(some!)).toBe(word === "faster" ? along : off);
    if (word === "slower") expect(along).toBe(0);
  } else expect(along + off).toBe(0);
  expect(against ? count(against) : 0).toBe(along > 0 ? off : 0);
  expect(rest ? count(rest) : 0).toBe(p.n - along - off);
}

/** The first sentence: which, and how much. */
export function headline(sentence: string, p: Plain, notTested: string | null): void {
  if (notTested !== null) return void expect(sentence).toBe(notTested);
  const best = p.mean < 0 ? p.b : p.a;
  const mean = (printed: string) => says(printed, Math.abs(p.mean), sentence);
  const is = (...allowed: Plain["conclusion"][]) => expect(allowed, sentence).toContain(p.conclusion);
  holds(sentence, [
    [/^Nobody can be compared yet\.$/, () => is("nobody")],
    [
      new RegExp(
        `^(It can’t be told yet: )?(\\w+) was faster with (${p.a}|${p.b}), by ${NUMBER}(?: ± ${NUMBER})? s\\.$`,
      ),
      ([, close, who, technique, size, half]) => {
        is("one");
        const pair = p.pairs[0]!;
        const verdict = p.verdicts.get(pair.name)!;
        expect([who, technique]).toEqual([pair.name, pair.d < 0 ? p.b : p.a]);
        says(size!, Math.abs(pair.d), sentence);
        if (half) says(half, verdict.u95!, sentence);
        expect(close !== undefined).toBe(verdict.verdict === "can't tell");
      },
    ],
    [
      new RegExp(`^(All \\w+|Both|\\w+) skated ${p.a} and ${p.b} in the same time\\.$`),
      () => expect(p.pairs.every((x) => Math.abs(x.d) < 1e-9)).toBe(true),
    ],
    [
      /^On average there is no difference(.*)\.$/,
      ([, rest]) => {
        expect(Math.abs(p.mean)).toBeLessThan(1e-9);
        mixedSaid(rest!, p);
      },
    ],
    [
      new RegExp(
        `^It can’t be told which is faster: (.*) was skated later, so warming up or tiring can pass for the difference \\((.*) was faster by ${NUMBER} s\\)\\.$`,
      ),
      ([, later, faster, size]) => {
        is("order");
        expect(p.steady).toBeNull();
        expect([later, faster]).toEqual([p.lag > 0 ? p.b : p.a, best]);
        mean(size!);
      },
    ],
    [
      new RegExp(
        `^It can’t be told for certain which is faster: (.*) was skated later\\. With a change from trial to trial taken out, (?:nothing can be told \\(${NUMBER} ± ${NUMBER} s\\)|(.*) was faster by ${NUMBER} ± ${NUMBER} s, if the change was steady); as it stands, (.*) was faster by ${NUMBER} s\\.$`,
      ),
      ([, later, none, noneHalf, left, size, half, faster, timed]) => {
        is("order");
        expect([later, faster]).toEqual([p.lag > 0 ? p.b : p.a, best]);
        says(none ?? size!, Math.abs(p.steady!.value), sentence);
        says(noneHalf ?? half!, p.steady!.u95, sentence);
        expect(none !== undefined).toBe(Math.abs(p.steady!.value) <= p.steady!.u95);
        if (left) expect(left).toBe(p.steady!.value < 0 ? p.b : p.a);
        mean(timed!);
      },
    ],
    [
      new RegExp(
        `^It depends on the skater: (.*) (?:was|were) faster with ${p.b} \\(${R} s\\), (.*) (?:was|were) slower with ${p.b} \\(${R} s\\), each beyond their own scatter\\.$`,
      ),
      ([, low, lowBy, high, highBy]) => {
        is("depends");
        for (const [said, by, verdict] of [
          [low!, lowBy!, "faster"],
          [high!, highBy!, "slower"],
        ] as const) {
          const own = p.pairs.filter((x) => p.verdicts.get(x.name)!.verdict === verdict);
          const some = /^(\w+) of (\w+)$/.exec(said);
          if (some) expect([count(some[1]!), count(some[2]!)]).toEqual([own.length, p.n]);
          else expect(names(said)).toEqual(own.map((x) => x.name));
          range(
            by,
            own.map((x) => Math.abs(x.d)),
            sentence,
          );
        }
      },
    ],
    [
      new RegExp(
        `^Neither is faster by an amount that matters: ${NUMBER} ± ${NUMBER} s apart on average, and ${NUMBER} s would\\.$`,
      ),
      ([, size, half, band]) => {
        is("alike");
        mean(size!);
        says(half!, p.general!, sentence);
        says(band!, p.band!, sentence);
      },
    ],
    [
      new RegExp(`^It can’t be told which is faster: (.*) was faster by ${NUMBER} s on average(;.*)\\.$`),
      ([, which, size, rest]) => {
        is("open");
        expect(which).toBe(best);
        mean(size!);
        mixedSaid(rest!, p);
      },
    ],
    [
      new RegExp(`^(.*) was faster, by ${NUMBER} s on average(?: \\((both|all (\\w+)), ${R} s\\)|(;.*))\\.$`),
      ([, which, size, all, number, by, rest]) => {
        is("settled", "these");
        expect(which!.toLowerCase()).toBe(best.toLowerCase());
        mean(size!);
        const along = p.pairs.map((x) => x.d * Math.sign(p.mean));
        if (!all) return mixedSaid(rest!, p);
        expect(number ? count(number) : 2).toBe(p.n);
        expect(along.every((d) => d > 1e-9)).toBe(true);
        range(by!, along, sentence);
      },
    ],
  ]);
}

/** For whom, how sure, whether it matters, what next. */
export function support(sentence: string, p: Plain): void {
  const is = (...allowed: Plain["conclusion"][]) => expect(allowed, sentence).toContain(p.conclusion);
  const few = p.smallest > 0.05;
  const who = "(?:both|these (\\w+))";
  const number = (word: string | undefined) => expect(word ? count(word) : 2).toBe(p.n);
  const size = `(?: \\(${NUMBER} ± ${NUMBER} s\\))?`;
  const general = (value: string | undefined, half: string | undefined) => {
    expect(value !== undefined, sentence).toBe(p.general !== null);
    if (value) {
      says(value, Math.abs(p.mean), sentence);
      says(half!, p.general!, sentence);
    }
  };
  const these = (value: string, half: string) => {
    says(value, Math.abs(p.mean), sentence);
    says(half, p.these!, sentence);
  };
  const worst = Math.max(p.pFlip, p.pT ?? 0);
  const chance =
    "(in every second study or more|less than once in a million studies|in 1 study of ([\\d,\u2009]+))";
  const often = (text: string, oneIn: string | undefined) => {
    if (oneIn)
      expect(Math.abs(Number(oneIn.replace(/\D/g, "")) - 1 / worst), sentence).toBeLessThanOrEqual(1.001);
    else if (/million/.test(text)) expect(worst).toBeLessThan(1e-6);
    else expect(worst).toBeGreaterThan(0.4);
  };
  const clear = () => [...p.verdicts.values()].filter((v) => v.verdict !== "can't tell").length;
  holds(sentence, [
    [/^The times are below\.$/, () => undefined],
    [/ has (no|only|nothing|a |the )|there are no trials/i, () => is("nobody")],
    [
      /^One skater says nothing about others(\.|, and without repeats not even how sure it is\.)$/,
      ([, rest]) => {
        is("one");
        expect(rest !== ".").toBe(p.error === null);
      },
    ],
    [
      new RegExp(
        `^For ${who} it is not known how sure this is: (nobody repeated a technique|all repeats are exactly alike)\\.( Time to more digits\\.)?$`,
      ),
      ([, word, why]) => {
        number(word);
        expect(p.these).toBeNull();
        expect(why!.startsWith("nobody")).toBe(p.error === null);
      },
    ],
    [/^The average describes nobody\.$/, () => is("depends")],
    [
      new RegExp(`^For ${who} alone it can’t be told: most skated one technique wholly before the other\\.$`),
      ([, word]) => {
        number(word);
        expect(p.blocks).toBe(true);
      },
    ],
    [
      new RegExp(`^For ${who} it is within the scatter of their trials \\(${NUMBER} ± ${NUMBER} s\\)\\.$`),
      ([, word, value, half]) => {
        number(word);
        these(value!, half!);
        expect(Math.abs(p.mean)).toBeLessThanOrEqual(p.these! + 1e-9);
      },
    ],
    [
      new RegExp(
        `^For ${who} it would be clear \\(${NUMBER} ± ${NUMBER} s\\), but not once a steady change through the day is taken out\\.$`,
      ),
      ([, word, value, half]) => {
        is("open");
        number(word);
        these(value!, half!);
        expect(Math.abs(p.mean)).toBeGreaterThan(p.these!);
        expect(Math.abs(p.lag)).toBeGreaterThan(0.05);
      },
    ],
    [
      new RegExp(
        `^For ${who} it is clear \\(${NUMBER} ± ${NUMBER} s, from how well each repeats\\)(, and for each of them|, though for nobody alone|; too close to call for (.*?)( of them)?)\\.$`,
      ),
      ([, word, value, half, rest, close, ofThem]) => {
        number(word);
        these(value!, half!);
        expect(Math.abs(p.mean)).toBeGreaterThan(p.these!);
        if (rest!.startsWith(", and")) expect(clear()).toBe(p.n);
        else if (rest!.startsWith(", though")) expect(clear()).toBe(0);
        else if (ofThem) expect(count(close!)).toBe(p.n - clear());
        else
          expect(names(close!)).toEqual(
            p.pairs.flatMap((x) => (p.verdicts.get(x.name)!.verdict === "can't tell" ? [x.name] : [])),
          );
      },
    ],
    [
      new RegExp(
        `^For other skaters (\\w+) are too few${size}: by chance (both|all (\\w+)) would agree in 1 study of (\\d+)\\.$`,
      ),
      ([, word, value, half, , again, oneIn]) => {
        expect(few).toBe(true);
        number(word);
        expect(again ? count(again) : 2).toBe(p.n);
        general(value, half);
        expect(Number(oneIn)).toBe(1 / p.smallest);
      },
    ],
    [
      new RegExp(`^For skaters like these${size}(?:: chance alone would do this ${chance})?\\.$`),
      ([, value, half, text, oneIn]) => {
        expect(few).toBe(false);
        general(value, half);
        is(text ? "settled" : "alike");
        if (text) {
          often(text, oneIn);
          expect(worst).toBeLessThanOrEqual(0.05);
        }
      },
    ],
    [
      new RegExp(
        `^For other skaters it is open${size}: (?:the order of trials, or the scatter of repeats, leaves it so|chance alone would do this ${chance})\\.$`,
      ),
      ([, value, half, text, oneIn]) => {
        is("these", "open");
        expect(few).toBe(false);
        general(value, half);
        expect(text !== undefined).toBe(worst > 0.05);
        if (text) often(text, oneIn);
      },
    ],
    [
      /^Nobody has said how much would matter: say it in Plan\.$/,
      () => {
        is("settled", "these");
        expect(p.said).toBe(false);
      },
    ],
    [
      new RegExp(
        `^Even its (low|high) end, ${NUMBER} s, is (more|less) than the ${NUMBER} s that matters\\.$`,
      ),
      ([, end, value, way, band]) => {
        is("settled", "these");
        const half = p.conclusion === "these" || p.general === null ? p.these! : p.general;
        const low = end === "low";
        says(value!, low ? Math.abs(p.mean) - half : Math.abs(p.mean) + half, sentence);
        says(band!, p.band!, sentence);
        expect(p.said).toBe(true);
        expect(way).toBe(low ? "more" : "less");
        if (low) expect(Math.abs(p.mean) - half).toBeGreaterThan(p.band!);
        else expect(Math.abs(p.mean) + half).toBeLessThan(p.band!);
      },
    ],
    [
      new RegExp(`^It could be less than the ${NUMBER} s that matters\\.$`),
      ([, band]) => {
        is("settled", "these");
        const half = p.conclusion === "these" || p.general === null ? p.these! : p.general;
        says(band!, p.band!, sentence);
        expect(Math.abs(p.mean) - half).toBeLessThanOrEqual(p.band!);
        expect(Math.abs(p.mean) + half).toBeGreaterThanOrEqual(p.band!);
      },
    ],
    [/^Next: skate it again with the order alternating/, () => is("order")],
    [/^Next: let everybody skate each technique at least twice/, () => expect(p.error).toBeNull()],
    [/^Next: (\w+) more skaters?; six can settle it\.$/, ([, more]) => expect(count(more!) + p.n).toBe(6)],
    [/^Next: choose for each skater by the verdicts below/, () => is("depends")],
    [/^Next: coach it, and time it again another day\.$/, () => is("settled")],
    [/^Next: choose by what else counts/, () => is("alike")],
    [
      /^Next: more trials of each technique/,
      () => {
        is("open", "these");
        expect(p.n).toBeGreaterThanOrEqual(6);
      },
    ],
  ]);
}

/** Where no measured trial of a technique is as asked, the sentence that must come first; else null. */
export function notTested(made: MadeUpStudy): string | null {
  const { study } = made.whole;
  const of = (technique: string) => {
    const judged = study.trials.filter(
      (t) => t.technique === technique && t.valid && !made.suspect.has(t.id) && made.measured.has(t.id),
    );
    const answers = judged.map((t) => asAsked(made, t));
    return { judged: judged.length, missed: answers.includes("no") && !answers.includes("yes") };
  };
  const [a, b] = [of("t0"), of("t1")];
  if (!a.missed && !b.missed) return null;
  const all = a.missed && b.missed;
  const number = all ? a.judged + b.judged : (a.missed ? a : b).judged;
  const [nameA, nameB] = study.techniques.map((t) => t.name);
  const which = all ? "" : ` of ${a.missed ? nameA : nameB}`;
  const words = [
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
  const start =
    number === 1
      ? `The one measured trial${which} does not show what was asked`
      : `None of the ${words[number] ?? number} measured trials${which} shows what was asked`;
  return `${start}, so this does not test ${nameA} against ${nameB} yet.`;
}

/** Is a trial's interval outside what was asked, inside, or neither? */
function asAsked(made: MadeUpStudy, trial: Trial): "yes" | "no" | "can't tell" {
  const found = made.suspect.has(trial.id) ? undefined : made.measured.get(trial.id);
  const band = made.whole.study.techniques.find((t) => t.id === trial.technique)!.asked[0];
  if (!found || !band) return "can't tell";
  const u95 = found.u95 * (made.ofArms ? DEGREES_A_METRE : 1);
  const [low, high] = [found.touchdown - u95, found.touchdown + u95];
  const [min, max] = [band.min ?? -Infinity, band.max ?? Infinity];
  return low >= min && high <= max ? "yes" : high < min || low > max ? "no" : "can't tell";
}

/** The lines of doubt that stand before the first picture. */
export function cares(sentences: readonly string[], made: MadeUpStudy): void {
  const { study } = made.whole;
  const { two, wrong, open, doubted } = doubts(made);
  const banded = study.techniques[0]!.asked.length > 0;
  const heard = { care: false, many: false };
  const some = (n: number, one: RegExp, more: RegExp) => (text: string) => {
    const m = more.exec(text);
    expect(m ? count(m[1]!) : one.test(text) ? 1 : 0, text).toBe(n);
  };
  for (const sentence of sentences)
    holds(sentence, [
      [
        /clips? do(?:es)? not fit|as asked|against what was asked/,
        () => {
          heard.care = true;
          some(
            doubted.length,
            /one clip does not fit its time/i,
            /(\w+) clips do not fit their times/,
          )(sentence);
          some(wrong.length, /one trial was not as asked/i, /(\w+) trials were not as asked/)(sentence);
          const left = banded ? open : 0;
          if (/no trial can be judged against what was asked yet/i.test(sentence))
            expect(left).toBe(two.length);
          else {
            const m = /(\w+) of (\w+)(?: trials)? can’t be judged(?: against what was asked)?\./.exec(
              sentence,
            );
            expect(m ? count(m[1]!) : 0).toBe(left);
            if (m) expect(count(m[2]!)).toBe(two.length);
          }
          expect(sentence.endsWith(" See what is left without, below.")).toBe(
            doubted.length + wrong.length > 0,
          );
        },
      ],
      [
        /^(?:(.*) had the best mean time of all (\w+)(.*)\.|The study has (\w+) techniques; this compares two of them\.)$/,
        ([, best, all, rest, otherwise]) => {
          heard.many = true;
          expect(count(all ?? otherwise!)).toBe(study.techniques.length);
          if (best) fastest(best, rest!, made);
        },
      ],
    ]);
  expect(heard).toEqual({
    care: wrong.length + doubted.length + (banded ? open : 0) > 0,
    many: study.techniques.length > 2,
  });
}

function doubts(made: MadeUpStudy) {
  const { study } = made.whole;
  const two = study.trials.filter((t) => t.valid && (t.technique === "t0" || t.technique === "t1"));
  const wrong = two.filter((t) => asAsked(made, t) === "no");
  const kept = two.filter((t) => !wrong.includes(t));
  return {
    ...{ two, wrong, kept },
    open: two.filter((t) => asAsked(made, t) === "can't tell").length,
    doubted: two.filter((t) => made.suspect.has(t.id)),
    unmeasured: kept.filter((t) => made.suspect.has(t.id) || !made.measured.has(t.id)).length,
  };
}

/** "Would leaving something out change it?": each line against the same times without what it leaves out. */
export function sensitivity(
  rows: readonly {
    readonly label: string;
    readonly note: string;
    readonly text: string;
    readonly n: string;
  }[],
  made: MadeUpStudy,
): void {
  const p = plainly(made);
  const { wrong, kept, doubted, unmeasured } = doubts(made);
  const { study } = made.whole;
  const label = (t: Trial) => {
    const who = study.skaters.find((s) => s.id === t.skater)!.name;
    return `${who}, ${study.techniques.find((x) => x.id === t.technique)!.name}, trial ${t.repeat}`;
  };
  const size = (text: string, value: number, half: number) => {
    const m = new RegExp(`^${NUMBER} ± ${NUMBER} s$`).exec(text);
    if (!m) expect.fail(`no size: ${text}`);
    says(m![1]!, value, text);
    says(m![2]!, half, text);
  };
  const left = (q: Plain, text: string) => {
    if (q.n === 0) return void expect(text).toBe("nobody is left to compare");
    if (q.general === null) return void expect(text).toBe("too few for an interval");
    size(text, q.mean, q.general);
  };
  const without = (trials: readonly Trial[]) => plainly(made, new Set(trials.map((t) => t.id)));
  const said = new Set<string>();
  for (const { label: what, note, text, n } of rows) {
    said.add(what);
    holds(what, [
      [
        /^All trials$/,
        () => {
          left(p, text);
          expect(Number(n)).toBe(p.n);
        },
      ],
      [
        /^Without one skater, each in turn$/,
        () => {
          const each = p.pairs.map((gone) => {
            const rest = p.pairs.filter((x) => x !== gone);
            const d = rest.map((x) => x.d);
            const over = deviation(d) > 1e-9 ? (t975(d.length - 1) * deviation(d)) / Math.sqrt(d.length) : 0;
            const shares = rest.reduce((sum, x) => sum + 1 / x.nA + 1 / x.nB, 0);
            const own =
              p.these === null ? 0 : (t975(p.error!.df) * p.error!.value * Math.sqrt(shares)) / d.length;
            return { mean: average(d), half: Math.max(over, own) };
          });
          const m = new RegExp(`^${R} s(?:, ± ${NUMBER} s at most)?$`).exec(text);
          if (!m) expect.fail(`no range: ${text}`);
          const [low, high = low] = m![1]!.split(" to ");
          says(low!, Math.min(...each.map((e) => e.mean)), text);
          says(high!, Math.max(...each.map((e) => e.mean)), text);
          const widest = Math.max(...each.map((e) => e.half));
          expect(m![2] !== undefined).toBe(widest > 0);
          if (m![2]) says(m![2], widest, text);
          expect(Number(n)).toBe(p.n - 1);
        },
      ],
      [
        /^Without clips that do not fit$/,
        () => {
          const q = without(doubted);
          left(q, text);
          expect(Number(n)).toBe(q.n);
          const [, which] = /^(.*): the clips? do(?:es)? not fit the times?\.$/.exec(note)!;
          expect(new Set(which!.split("; "))).toEqual(new Set(doubted.map(label)));
        },
      ],
      [
        /^Without trials not as asked$/,
        () => {
          const q = without(wrong);
          const [, which, some, of] = /^(.*?)\.(?: (\w+) of (\w+) trials left were not measured\.)?$/.exec(
            note,
          )!;
          expect(new Set(which!.split("; "))).toEqual(new Set(wrong.map(label)));
          const none = unmeasured === kept.length && kept.length > 0;
          if (none) expect(text).toBe("only unmeasured trials are left: nothing can be said");
          else left(q, text);
          expect(some ? count(some) : 0).toBe(none || q.n === 0 ? 0 : unmeasured);
          if (of) expect(count(of)).toBe(kept.length);
        },
      ],
      [
        /^A steady change from trial to trial taken out$/,
        () => {
          if (p.steady === null) expect(text).not.toContain("±");
          else size(text, p.steady.value, p.steady.u95);
        },
      ],
    ]);
  }
  expect(said).toEqual(
    new Set(
      p.n === 0
        ? []
        : [
            "All trials",
            ...(p.n > 2 ? ["Without one skater, each in turn"] : []),
            ...(doubted.length > 0 ? ["Without clips that do not fit"] : []),
            ...(wrong.length > 0 ? ["Without trials not as asked"] : []),
            ...(p.n > 1 ? ["A steady change from trial to trial taken out"] : []),
          ],
    ),
  );
}

/** Do skaters respond alike? The variance of their differences over what their repeats make of none. */
export function alike(sentence: string, p: Plain): void {
  const sized = (value: string, low: string, high: string) => {
    says(value, p.response!.sd, sentence);
    says(low, p.response!.ci95[0], sentence);
    says(high, p.response!.ci95[1], sentence);
  };
  const interval = `an SD of ${NUMBER} s \\(${NUMBER} to ${NUMBER} s\\)`;
  holds(sentence, [
    [
      /^Whether skaters respond alike can’t be told: (nobody repeated a technique|all repeats are exactly alike)\.$/,
      ([, why]) => {
        expect(p.response).toBeNull();
        expect(why!.startsWith("nobody")).toBe(p.error === null);
      },
    ],
    [
      /^Nothing shows that skaters respond differently: their differences scatter less than their trials alone would make them\.$/,
      () => expect(p.response!.ci95[1]).toBe(0),
    ],
    [
      new RegExp(`^Nothing shows that skaters respond differently: their responses have ${interval}\\.$`),
      ([, value, low, high]) => {
        expect(p.pAlike).toBeGreaterThan(0.05);
        sized(value!, low!, high!);
      },
    ],
    [
      new RegExp(
        `^Skaters respond differently: beyond the scatter of their trials, responses have ${interval}(; the order of trials may make part of it)?\\.$`,
      ),
      ([, value, low, high, order]) => {
        expect(p.pAlike).toBeLessThanOrEqual(0.05);
        sized(value!, low!, high!);
        expect(order !== undefined).toBe(Math.abs(p.lag) > 0.05 || p.blocks || p.conclusion === "order");
      },
    ],
  ]);
}

/** The best mean over skaters with every technique, and what Holm leaves of its leads. */
function fastest(best: string, rest: string, { whole: { study } }: MadeUpStudy): void {
  const table = study.skaters.map((s) =>
    study.techniques.map((technique) => {
      const times = study.trials.flatMap((t) =>
        t.skater === s.id && t.technique === technique.id && t.valid && t.time !== null ? [t.time] : [],
      );
      return times.length === 0 ? null : average(times);
    }),
  );
  const complete = table.filter((row) => !row.includes(null)) as number[][];
  const means = study.techniques.map((_, k) => average(complete.map((row) => row[k]!)));
  const first = means.indexOf(Math.min(...means));
  expect(best.toLowerCase()).toBe(study.techniques[first]!.name);
  const pairs = study.techniques.flatMap((x, i) =>
    study.techniques.slice(i + 1).map((y, j) => {
      const k = i + 1 + j;
      const d = table.flatMap((row) => (row[i] == null || row[k] == null ? [] : [row[k]! - row[i]!]));
      const sd = d.length < 2 ? 0 : deviation(d);
      const p = sd > 1e-9 ? twoSided(average(d) / (sd / Math.sqrt(d.length)), d.length - 1) : null;
      const lead = d.length === 0 ? 0 : average(d) * (i === first ? 1 : -1);
      return { x, y, i, k, n: d.length, p, lead, holm: 1 };
    }),
  );
  const ranked = pairs.filter((q) => q.p !== null).sort((q, r) => q.p! - r.p!);
  let least = 0;
  ranked.forEach((q, at) => {
    least = Math.max(least, Math.min(1, (ranked.length - at) * q.p!));
    q.holm = least;
  });
  const clear = pairs.filter(
    (q) => (q.i === first || q.k === first) && q.n >= 6 && q.p !== null && q.holm <= 0.05 && q.lead > 0,
  );
  const other = (q: (typeof pairs)[number]) => (q.i === first ? q.y : q.x).name;
  const none = /^, but allowing for (\w+) comparisons it can’t be told from any( by so few skaters)?$/.exec(
    rest,
  );
  if (none) {
    expect(clear).toEqual([]);
    expect(count(none[1]!)).toBe(pairs.length);
    if (none[2]) expect(complete.length).toBeLessThan(6);
    return;
  }
  const m = /^: (.*), allowing for (\w+) comparisons(?:; it can’t be told from (.*))?$/.exec(rest);
  if (!m) expect.fail(`no leads: ${rest}`);
  expect(count(m![2]!)).toBe(pairs.length);
  const said = m![1]!.split(", ").map((part) => /^([\d.]+) s from (.*)$/.exec(part)!);
  expect(new Set(said.map((x) => x[2]))).toEqual(new Set(clear.map(other)));
  for (const [, size, name] of said) says(size!, clear.find((q) => other(q) === name)!.lead, rest);
}
