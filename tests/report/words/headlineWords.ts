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
  const alone = (size: string, half: string | undefined) => {
    is("one");
    const pair = p.pairs[0]!;
    const verdict = p.verdicts.get(pair.name)!;
    says(size, Math.abs(pair.d), sentence);
    if (half) says(half, verdict.u95!, sentence);
    return { pair, verdict };
  };
  const always = () => expect(p.leads.every((lead) => Math.abs(lead) === 1)).toBe(true);
  const mostly = () => expect(p.leads.some((lead) => Math.abs(lead) < 1)).toBe(true);
  holds(sentence, [
    [
      /^(Nobody can be compared yet\.|Without times nobody can say which is faster; what was measured:)$/,
      () => is("nobody"),
    ],
    [
      new RegExp(`^(\\w+) was faster with (${p.a}|${p.b}), by ${NUMBER}(?: ± ${NUMBER})? s\\.$`),
      ([, who, technique, size, half]) => {
        const { pair, verdict } = alone(size!, half);
        expect([who, technique]).toEqual([pair.name, pair.d < 0 ? p.b : p.a]);
        expect(verdict.verdict).not.toBe("can't tell");
      },
    ],
    [
      new RegExp(
        `^It can’t be told yet (?:which is faster|(whether it matters)) for (\\w+): (.*) was ahead by ${NUMBER}(?: ± ${NUMBER})? s(?:, and ${NUMBER} s would matter)?\\.$`,
      ),
      ([, matters, who, technique, size, half, band]) => {
        const { pair, verdict } = alone(size!, half);
        expect([who, technique]).toEqual([pair.name, pair.d < 0 ? p.b : p.a]);
        expect([verdict.verdict, verdict.small]).toEqual(["can't tell", false]);
        // Which is faster is left open unless all of the interval is on one side.
        expect([matters !== undefined, band !== undefined]).toEqual([verdict.oneSide, verdict.oneSide]);
        if (band) {
          says(band, p.band!, sentence);
          expect(Math.abs(pair.d)).toBeGreaterThan(verdict.u95!);
          // Or it does not matter for sure once a steady change is taken out.
          if (!verdict.altered) expect(Math.abs(pair.d) - verdict.u95!).toBeLessThanOrEqual(p.band!);
        }
      },
    ],
    [
      new RegExp(
        `^For (\\w+) neither is faster by an amount that matters: ${NUMBER} ± ${NUMBER} s apart, less than the ${NUMBER} s that matters\\.$`,
      ),
      ([, who, size, half, band]) => {
        const { pair, verdict } = alone(size!, half);
        expect([who, verdict.small, p.said]).toEqual([pair.name, true, true]);
        says(band!, p.band!, sentence);
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
        `^It can’t be told which is faster: (.*) was (always|mostly) skated later, so warming up or tiring can pass for the difference \\((.*) was faster by ${NUMBER} s\\)\\.$`,
      ),
      ([, later, how, faster, size]) => {
        is("order");
        how === "always" ? always() : mostly();
        expect(p.steady).toBeNull();
        expect([later, faster]).toEqual([p.lag > 0 ? p.b : p.a, best]);
        mean(size!);
      },
    ],
    [
      new RegExp(
        `^It can’t be told (for certain )?which is faster: (.*) was (always|mostly) skated later\\. As it stands (.*) was faster by ${NUMBER} s; with a steady change from trial to trial taken out, (slower )?by ${NUMBER} ± ${NUMBER} s(, which may be nothing)?\\.$`,
      ),
      ([, certain, later, how, faster, timed, slower, left, half, nothing]) => {
        is("order");
        how === "always" ? always() : mostly();
        expect(later).toBe(p.lag > 0 ? p.b : p.a);
        expect(faster).toBe(later === best ? "it" : best);
        mean(timed!);
        says(left!, Math.abs(p.steady!.value), sentence);
        says(half!, p.steady!.u95, sentence);
        const small = Math.abs(p.steady!.value) <= p.steady!.u95;
        expect([nothing !== undefined, certain !== undefined]).toEqual([small, !small]);
        expect(slower !== undefined).toBe(p.steady!.value * p.mean <= 0);
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
        `^Neither is faster by an amount that matters: ${NUMBER} ± ${NUMBER} s apart on average, less than the ${NUMBER} s that matters\\.$`,
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
        `^(.*) was faster, but by too little to matter: ${NUMBER} ± ${NUMBER} s on average, less than the ${NUMBER} s that matters\\.$`,
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
