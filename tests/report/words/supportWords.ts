import { expect } from "vitest";
import { signFlip } from "../../helpers/plainStatistics.ts";
import { claimedHalf, count, holds, NUMBER, names, type Plain, says, tooSmall } from "./plainly.ts";

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
  holds(sentence, [
    [/^The times are below\.$/, () => undefined],
    [/ ha(?:s|ve) (no|only|nothing|a |the )|there are no trials/i, () => is("nobody")],
    [
      /^One skater says nothing about others(\.|, and without repeats not even how sure it is\.)$/,
      ([, rest]) => {
        is("one");
        expect(rest !== ".").toBe(p.error === null);
      },
    ],
    [
      new RegExp(
        `^For ${who} it is not known how sure this is: (nobody repeated a technique|all repeats are exactly alike, for a clock with so few digits hides the scatter|all repeats are exactly alike)\\.$`,
      ),
      ([, word, why]) => {
        number(word);
        expect(p.these).toBeNull();
        expect(why!.startsWith("nobody")).toBe(p.error === null);
        if (p.error !== null) expect(p.error.value).toBeLessThan(1e-9);
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
        `^Together ${who} make it clear \\(${NUMBER} ± ${NUMBER} s, from how well each repeats\\)(; so does each alone|; no one alone does|; neither alone does|; alone, (?!only)(.*?) do(?:es)? not|; alone, only (\\w+) of them (does|do))?\\.$`,
      ),
      ([, word, value, half, rest, close, some, verb]) => {
        number(word);
        these(value!, half!);
        expect(Math.abs(p.mean)).toBeGreaterThan(p.these!);
        expect(rest === undefined, sentence).toBe(tooSmall(p));
        if (rest === undefined) return;
        // Alone a skater tells it who has a verdict, and on the mean's side.
        const own = p.pairs.map((x) => ({ ...x, ...p.verdicts.get(x.name)! }));
        const told = own.filter((x) => x.verdict !== "can't tell");
        const alone = told.filter((x) => x.d * p.mean > 0);
        for (const x of alone) expect(Math.abs(x.d)).toBeGreaterThan(x.u95!);
        if (close) {
          expect(names(close)).toEqual(own.filter((x) => !told.includes(x)).map((x) => x.name));
          expect(told).toEqual(alone);
        } else expect(some ? count(some) : rest.includes("each") ? p.n : 0, sentence).toBe(alone.length);
        expect(rest.includes("neither")).toBe(alone.length === 0 && p.n === 2);
        if (verb) expect(verb === "does").toBe(alone.length === 1);
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
      new RegExp(
        `^For skaters like these(?: it is too small to matter)?${size}(?:: chance alone would do this ${chance})?\\.$`,
      ),
      ([all, value, half, text, oneIn]) => {
        expect(all!.includes("too small"), sentence).toBe(p.conclusion === "alike");
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
        `^Even the low end for (skaters like these|${who}), ${NUMBER} s, is above the ${NUMBER} s that matters\\.$`,
      ),
      ([, whose, these, value, band]) => {
        expect(whose === "skaters like these", sentence).toBe(claimedHalf(p) === p.general);
        if (whose !== "skaters like these") number(these);
        is("settled", "these");
        const low = Math.abs(p.mean) - claimedHalf(p);
        says(value!, low, sentence);
        says(band!, p.band!, sentence);
        expect(p.said).toBe(true);
        expect(low).toBeGreaterThan(p.band!);
      },
    ],
    [
      new RegExp(`^It could be less than the ${NUMBER} s that matters\\.$`),
      ([, band]) => {
        is("settled", "these");
        says(band!, p.band!, sentence);
        expect(Math.abs(p.mean) - claimedHalf(p)).toBeLessThanOrEqual(p.band!);
        expect(tooSmall(p)).toBe(false);
      },
    ],
    [/^Next: skate it again with the order alternating/, () => is("order")],
    [/^Next: let everybody skate each technique at least twice/, () => expect(p.error).toBeNull()],
    [/^Next: time each technique at least twice\.$/, () => is("nobody")],
    [
      /^Next: time to more digits\.$/,
      () => {
        expect(p.these).toBeNull();
        expect(p.error).not.toBeNull();
      },
    ],
    [
      /^Next: (\w+) more skaters?; six who agree can settle it\.$/,
      ([, more]) => {
        const along = p.pairs.filter((x) => x.d > 1e-9).length;
        const agree = Math.max(along, p.pairs.filter((x) => x.d < -1e-9).length);
        expect(count(more!) + agree).toBe(6);
        // So many of as many kinds of sign as are as far out, were the others' differences next to none.
        const n = p.n + count(more!);
        const would = [...Array.from({ length: 6 }, () => 1), ...Array.from({ length: n - 6 }, () => -1e-3)];
        expect(signFlip(would, 1e-3)).toBeLessThanOrEqual(0.05);
        expect(signFlip(would.slice(1), 1e-3), "with one fewer").toBeGreaterThan(0.05);
      },
    ],
    [
      /^Next: (\w+) more skaters?, to see whether others are as alike\.$/,
      ([, more]) => {
        is("alike");
        expect(count(more!) + p.n).toBe(6);
      },
    ],
    [/^Next: choose for each skater by the verdicts below/, () => is("depends")],
    [
      /^Next: coach (.*), and time it again another day\.$/,
      ([, which]) => {
        is("settled");
        expect(which).toBe(p.mean < 0 ? p.b : p.a);
        expect(tooSmall(p)).toBe(false);
        // What may not matter is not to be coached yet.
        if (p.said) expect(Math.abs(p.mean) - claimedHalf(p)).toBeGreaterThan(p.band!);
      },
    ],
    [
      /^Next: time (.*) again another day, to see whether it is worth coaching\.$/,
      ([, which]) => {
        is("settled");
        expect(which).toBe(p.mean < 0 ? p.b : p.a);
        expect([tooSmall(p), p.said]).toEqual([false, true]);
        expect(Math.abs(p.mean) - claimedHalf(p)).toBeLessThanOrEqual(p.band!);
      },
    ],
    [/^Next: choose by what else counts; time does not tell them apart\.$/, () => is("alike")],
    [
      /^Next: choose by what else counts; time does not tell them apart by enough\.$/,
      () => {
        is("settled");
        expect(tooSmall(p)).toBe(true);
      },
    ],
    [
      /^Next: more trials and more skaters; Plan says how many\.$/,
      () => {
        is("open", "these");
        expect(p.n).toBeGreaterThanOrEqual(6);
      },
    ],
  ]);
}

/** Do skaters respond alike? The variance of their differences over what their repeats make of none. */
export function alike(sentence: string, p: Plain): void {
  holds(sentence, [
    [
      /^Whether skaters respond alike can’t be told: (nobody repeated a technique|all repeats are exactly alike(?:, for a clock with so few digits hides the scatter)?)\.$/,
      ([, why]) => {
        expect(p.response).toBeNull();
        expect(why!.startsWith("nobody")).toBe(p.error === null);
      },
    ],
    [
      /^Nothing shows that skaters respond differently: their differences scatter no more than their trials can make them\.$/,
      () => expect(p.pAlike).toBeGreaterThan(0.05),
    ],
    [
      /^Skaters (may )?respond differently: their differences scatter more than their trials would make them(; the order of trials may make part of it)?\.$/,
      ([, may, order]) => {
        expect(p.pAlike).toBeLessThanOrEqual(0.05);
        expect(p.response!.sd).toBeGreaterThan(0);
        // The interval may still reach next to nothing.
        expect(may !== undefined, sentence).toBe(p.response!.ci95[0] < 0.05 * p.response!.sd);
        expect(order !== undefined).toBe(Math.abs(p.lag) > 0.05 || p.blocks || p.conclusion === "order");
      },
    ],
  ]);
}
