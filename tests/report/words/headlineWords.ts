import { expect } from "vitest";
import {
  claimedHalf,
  count,
  holds,
  NUMBER,
  names,
  type Plain,
  RANGE,
  range,
  says,
  tooSmall,
} from "./plainly.ts";

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
    [
      /^(Nobody can be compared yet\.|Without times nobody can say which is faster; what was measured:)$/,
      () => is("nobody"),
    ],
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
        `^It depends on the skater: (.*) (?:was|were) faster with ${p.b} \\(${RANGE} s\\), (.*) (?:was|were) slower with ${p.b} \\(${RANGE} s\\), each beyond their own scatter\\.$`,
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
      new RegExp(`^It can’t be told yet which is faster: (.*) was ahead by ${NUMBER} s on average(;.*)\\.$`),
      ([, which, size, rest]) => {
        is("open");
        expect(which).toBe(best);
        mean(size!);
        mixedSaid(rest!, p);
      },
    ],
    [
      new RegExp(
        `^(.*) was faster, but by too little to matter: ${NUMBER} ± ${NUMBER} s on average, and ${NUMBER} s would\\.$`,
      ),
      ([, which, size, half, band]) => {
        is("settled", "these");
        expect(which!.toLowerCase()).toBe(best.toLowerCase());
        mean(size!);
        says(half!, claimedHalf(p), sentence);
        says(band!, p.band!, sentence);
        expect(tooSmall(p), sentence).toBe(true);
      },
    ],
    [
      new RegExp(
        `^(.*) was faster, by ${NUMBER} s on average(?: \\((both|all (\\w+)), ${RANGE} s\\)|(;.*))\\.$`,
      ),
      ([, which, size, all, number, by, rest]) => {
        is("settled", "these");
        expect(which!.toLowerCase()).toBe(best.toLowerCase());
        mean(size!);
        expect(tooSmall(p), sentence).toBe(false);
        const along = p.pairs.map((x) => x.d * Math.sign(p.mean));
        if (!all) return mixedSaid(rest!, p);
        expect(number ? count(number) : 2).toBe(p.n);
        expect(along.every((d) => d > 1e-9)).toBe(true);
        range(by!, along, sentence);
      },
    ],
  ]);
}
