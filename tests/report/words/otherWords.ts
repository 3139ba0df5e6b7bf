import { expect } from "vitest";
import { DEGREES_A_METRE, type MadeUpStudy } from "../../helpers/madeUpStudy.ts";
import { average, deviation, squares, t975 } from "../../helpers/plainStatistics.ts";
import { count, holds, NUMBER, type Plain, says } from "./plainly.ts";

/** A skater's own page: the verdict, the means, the reason. */
export function skater(name: string, said: string, why: string, p: Plain): void {
  const pair = p.pairs.find((x) => x.name === name);
  if (!pair) {
    expect(said).toMatch(new RegExp(`^${name} cannot be compared: `));
    return;
  }
  const found = p.verdicts.get(name)!;
  const { u95 } = found;
  const band = p.band ?? 0;
  const clear = found.verdict !== "can't tell";
  const size = (printed: string, half: string | undefined, value: number) => {
    says(printed, value, said);
    expect(half === undefined, said).toBe(!u95 || u95 < 1e-12);
    if (half) says(half, u95!, said);
  };
  holds(said, [
    [
      new RegExp(`^(Faster|Slower) with ${p.b}, by ${NUMBER}(?: ± ${NUMBER})? s\\.$`),
      ([, word, value, half]) => {
        expect(clear, said).toBe(true);
        expect(word!.toLowerCase()).toBe(found.verdict);
        size(value!, half, Math.abs(pair.d));
      },
    ],
    [
      new RegExp(
        `^(Can’t tell|Too small to matter|May be too small to matter): ${p.b} minus ${p.a} is ${NUMBER}(?: ± ${NUMBER})? s\\.$`,
      ),
      ([, word, value, half]) => {
        expect(clear, said).toBe(false);
        expect(word === "Too small to matter").toBe(found.small);
        expect(word === "May be too small to matter").toBe(found.oneSide);
        size(value!, half, pair.d);
      },
    ],
  ]);
  const means = new RegExp(
    `^Mean time ${NUMBER} s with ${p.a} \\((\\d+) (trials?)\\), ${NUMBER} s with ${p.b} \\((\\d+) (trials?)\\)\\. (.*?)$`,
  ).exec(why);
  if (!means) expect.fail(`no means: ${why}`);
  const [, a, nA, trialsA, b, nB, trialsB, all] = means!;
  says(a!, pair.a, why);
  says(b!, pair.b, why);
  expect([Number(nA), Number(nB)]).toEqual([pair.nA, pair.nB]);
  expect([trialsA === "trial", trialsB === "trial"]).toEqual([pair.nA === 1, pair.nB === 1]);
  const [, reason, own, against] = new RegExp(
    `^(.*?)(?:; judged by ${name}'s own repeats, which scatter more than the others' \\(${NUMBER} s against ${NUMBER} s\\))?\\.$`,
  ).exec(all!)!;
  expect(own !== undefined, why).toBe(found.own !== null);
  if (own) {
    says(own, found.own!.sd, why);
    says(against!, found.own!.others, why);
  }
  holds(reason!, [
    [/^Without repeats nobody knows/, () => expect(u95).toBeNull()],
    [/^The repeats are all exactly alike/, () => expect(u95).toBeLessThan(1e-12)],
    [
      new RegExp(
        `^Allowing for scatter, at least ${NUMBER} s (faster|slower)(?:; (?:${NUMBER} s would already matter|more than ${NUMBER} s, 0\\.2 of the spread between skaters))?$`,
      ),
      ([, least, word, said1, spread]) => {
        expect(word).toBe(found.verdict);
        says(least!, Math.abs(pair.d) - u95!, why);
        expect(said1 !== undefined).toBe(p.said);
        if (said1 ?? spread) says((said1 ?? spread)!, p.band!, why);
      },
    ],
    [/^Any difference is too small to matter$/, () => expect(found.small).toBe(true)],
    [
      /^The difference is within the scatter of this many trials$/,
      () => expect(Math.abs(pair.d)).toBeLessThanOrEqual(u95! + 1e-9),
    ],
    [
      new RegExp(
        `^Probably (faster|slower); whether by the ${NUMBER} s that (matters|may matter), (\\w+) trials can't say$`,
      ),
      ([, word, worth, how, trials]) => {
        expect(word).toBe(pair.d < 0 ? "faster" : "slower");
        says(worth!, band, why);
        expect(how === "matters").toBe(p.said);
        expect(count(trials!)).toBe(pair.nA + pair.nB);
        expect(Math.abs(pair.d)).toBeGreaterThan(u95!);
        expect(found.oneSide).toBe(true);
        expect(Math.abs(pair.d) - u95!).toBeLessThanOrEqual(band);
      },
    ],
    [
      /^(The second technique was skated (later|earlier), so the day's change can pass|Trials changed through the day; without that it is)/,
      () => expect(found.altered).toBe(true),
    ],
  ]);
}

/** What a skater should do next, by the verdict; `again` = what was not done as asked. */
export function nextOf(name: string, said: string, p: Plain, again: string): void {
  const pair = p.pairs.find((x) => x.name === name);
  if (again !== "") return void expect(said).toBe(again);
  if (!pair) return void expect(said).toBe("Next: time each technique at least twice.");
  const { verdict, small, u95, altered } = p.verdicts.get(name)!;
  const open = verdict === "can't tell" && !small;
  // Two means of n trials each are known to u95 · √(2 / n) over √(1 / nA + 1 / nB).
  const trials = Math.ceil((2 * ((u95 ?? 0) / (p.band ?? 1)) ** 2) / (1 / pair.nA + 1 / pair.nB));
  const most = Math.max(pair.nA, pair.nB);
  holds(said, [
    [
      /^Next: coach (.*), and time both again another day\.$/,
      ([, which]) => {
        expect(verdict).not.toBe("can't tell");
        expect(which).toBe(pair.d < 0 ? p.b : p.a);
      },
    ],
    [/^Next: choose by what else counts; the clock/, () => expect(small).toBe(true)],
    [
      /^Next: skate each technique at least twice, so that scatter is known\.$/,
      () => expect([open, u95]).toEqual([true, null]),
    ],
    [
      /^Next: time to more digits\.$/,
      () => {
        expect(open).toBe(true);
        expect(u95).toBeLessThan(1e-12);
      },
    ],
    [
      /^Next: skate both again in turns, beginning with the one that came later\.$/,
      () => {
        expect(open && altered).toBe(true);
        expect(Math.abs(Math.abs(pair.d) - p.band!)).toBeGreaterThan(u95!);
      },
    ],
    [/^Next: say in Plan how much would matter/, () => expect([open, p.said]).toEqual([true, false])],
    [
      /^Next: some more trials of each technique may settle it\.$/,
      () => {
        expect(open && p.said).toBe(true);
        expect(trials).toBeLessThanOrEqual(most);
      },
    ],
    [
      new RegExp(
        `^Next: (?:to know it to ± ${NUMBER} s, what matters, would take some (\\d+) trials of each technique; the answer for all on the first page tells more|(\\w+) trials of each technique in all would tell it to about ± ${NUMBER} s, what matters)\\.$`,
      ),
      ([, band, some, all, goal]) => {
        expect(open && p.said).toBe(true);
        says((band ?? goal)!, p.band!, said);
        expect(some ? Number(some) : count(all!)).toBe(trials);
        expect(trials).toBeGreaterThan(most);
        expect(some !== undefined).toBe(trials > 20);
      },
    ],
  ]);
}

/** One slope for all, each skater keeping an own level, over means of skater and technique. */
function slope(made: MadeUpStudy, of: "touchdown" | "width" | "recovery"): number {
  const { study } = made.whole;
  let [xx, xy] = [0, 0];
  for (const { id } of study.skaters) {
    const cells = study.techniques.flatMap((technique) => {
      const trials = study.trials.flatMap((t) => {
        const found = made.suspect.has(t.id) ? undefined : made.measured.get(t.id);
        return t.skater === id &&
          t.technique === technique.id &&
          t.valid &&
          t.time !== null &&
          found?.[of] !== undefined
          ? [{ x: found[of]!, y: t.time }]
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

/** One slope among repeats, each skater and technique keeping an own level; its half-width, and the trials it rests on. */
function slopeOfRepeats(made: MadeUpStudy, of: "touchdown" | "width" | "recovery") {
  const { study } = made.whole;
  let [xx, xy, yy, trials, cells] = [0, 0, 0, 0, 0];
  for (const { id } of study.skaters)
    for (const technique of study.techniques) {
      const cell = study.trials.flatMap((t) => {
        const found = made.suspect.has(t.id) ? undefined : made.measured.get(t.id);
        return t.skater === id &&
          t.technique === technique.id &&
          t.valid &&
          t.time !== null &&
          found?.[of] !== undefined
          ? [{ x: found[of]!, y: t.time }]
          : [];
      });
      if (cell.length < 2) continue;
      const [x, y] = [average(cell.map((c) => c.x)), average(cell.map((c) => c.y))];
      for (const c of cell) {
        xx += (c.x - x) ** 2;
        xy += (c.x - x) * (c.y - y);
        yy += (c.y - y) ** 2;
      }
      trials += cell.length;
      cells++;
    }
  const df = trials - cells - 1;
  const rest = (yy - xy ** 2 / xx) / df;
  return { value: xy / xx, half: t975(Math.max(1, df)) * Math.sqrt(Math.max(0, rest) / xx), trials, df };
}

/** What ten centimetres, or ten degrees, are called. */
const MORE =
  "(10 cm more stride width|10 cm more recovery to midline|10 cm more touchdown to track midline|arms swung 10° more across)";

export function within(sentence: string, made: MadeUpStudy): void {
  const names = {
    "stride width": "width",
    "touchdown to track midline": "touchdown",
    "arm-swing direction": "touchdown",
    "recovery to midline": "recovery",
  } as const;
  const measureOf = (more: string) =>
    more.endsWith("stride width") ? "width" : more.endsWith("recovery to midline") ? "recovery" : "touchdown";
  const times = (more: string) => (more.startsWith("arms") ? 10 : 0.1);
  holds(sentence, [
    [
      new RegExp(`^Within a skater, ${MORE} went with ${NUMBER} ± ${NUMBER} s (less|more) time \\(`),
      ([, more, size, half, way]) => {
        const ten = slope(made, measureOf(more!)) * times(more!);
        says(size!, Math.abs(ten), sentence);
        expect(way).toBe(ten < 0 ? "less" : "more");
        expect(Number(half)).toBeLessThan(Number(size) + 1e-9);
      },
    ],
    [
      new RegExp(
        `^Within a skater, ${MORE} went with anything from ${NUMBER} s less to ${NUMBER} s more time \\(.*: no relation can be told\\.$`,
      ),
      ([, what, less, more]) => {
        const places = less!.split(".")[1]?.length ?? 0;
        const ten = slope(made, measureOf(what!)) * times(what!);
        // The slope is the interval's middle.
        expect(Math.abs((Number(more) - Number(less)) / 2 - ten)).toBeLessThanOrEqual(10 ** -places);
      },
    ],
    [
      /^That they go together does not prove/,
      () => expect(made.whole.study.techniques.length).toBeGreaterThan(2),
    ],
    [
      /^With two techniques this is the same difference in other units, no second proof that/,
      () => undefined,
    ],
    [/^Time against [\w -]+: \w/, () => undefined],
    [
      /^Among a skater’s trials of one technique nothing can be said of time against (.*): (.*)$/,
      ([, name, why]) => {
        const { df } = slopeOfRepeats(made, names[name as keyof typeof names]);
        expect(why!.startsWith("too few repeats")).toBe(df < 4);
      },
    ],
    [
      new RegExp(
        `^Among a skater’s trials of one technique ${MORE} went with (?:${NUMBER} ± ${NUMBER} s (less|more) time|anything from ${NUMBER} s less to ${NUMBER} s more time) \\((\\d+) trials\\)(?:; what else changed through the day may be part of it|: no relation can be told)\\.$`,
      ),
      ([, what, size, half, way, less, more, trials]) => {
        const found = slopeOfRepeats(made, measureOf(what!));
        const by = times(what!);
        expect(Number(trials)).toBe(found.trials);
        if (size) {
          says(size, Math.abs(found.value) * by, sentence);
          says(half!, found.half * by, sentence);
          expect(way).toBe(found.value < 0 ? "less" : "more");
          expect(Math.abs(found.value)).toBeGreaterThan(found.half);
        } else {
          says(less!, (found.half - found.value) * by, sentence);
          says(more!, (found.half + found.value) * by, sentence);
        }
      },
    ],
  ]);
}

export function achieved(sentence: string, made: MadeUpStudy): void {
  const { study } = made.whole;
  const [name, gap, unit] = made.ofArms
    ? (["arm-swing direction", 0.06 * DEGREES_A_METRE, "°"] as const)
    : (["touchdown to track midline", 0.06, " m"] as const);
  const cell = (skaterId: string, technique: string) =>
    study.trials.flatMap((t) => {
      const found = made.suspect.has(t.id) ? undefined : made.measured.get(t.id);
      return t.skater === skaterId && t.technique === technique && t.valid && found ? [found.touchdown] : [];
    });
  const cells = study.skaters.map(
    ({ id }) => study.techniques.slice(0, 2).map((t) => cell(id, t.id)) as [number[], number[]],
  );
  const both = cells.filter(([a, b]) => a.length > 0 && b.length > 0);
  const d = both.map(([a, b]) => average(b) - average(a));
  const repeats = cells.flat().filter((c) => c.length > 1);
  const df = repeats.reduce((sum, c) => sum + c.length - 1, 0);
  const error = df === 0 ? 0 : Math.sqrt(repeats.reduce((sum, c) => sum + squares(c), 0) / df);
  const shares = both.reduce((sum, [a, b]) => sum + 1 / a.length + 1 / b.length, 0);
  // Never narrower than the repeats of these skaters allow.
  const repeated = df === 0 ? 0 : (t975(df) * error * Math.sqrt(shares)) / d.length;
  holds(sentence, [
    [/^Neither .* has a band of what was asked/, () => expect(study.techniques[0]!.asked).toEqual([])],
    [new RegExp(`^No skater has ${name} measured with both techniques\\.$`), () => expect(d).toEqual([])],
    [
      new RegExp(
        `^The techniques were asked to differ by at least ${NUMBER}${unit} in ${name}; they differed by ${NUMBER}(?:${unit.trim() === "°" ? "°" : ""} ± (more than )?${NUMBER})?${unit}(, the wrong way)? \\((\\w+) skaters?\\)(?:, (.*?))?\\.(?: Less than was asked for: (.*)\\.)?$`,
      ),
      ([, least, size, beyond, half, wrongWay, n, verdict, short]) => {
        says(least!, gap, sentence);
        expect(count(n!)).toBe(d.length);
        says(size!, Math.abs(average(d)), sentence);
        expect(wrongWay !== undefined).toBe(average(d) < 0);
        const u95 =
          d.length < 2 ? null : Math.max((t975(d.length - 1) * deviation(d)) / Math.sqrt(d.length), repeated);
        // No two directions are farther apart than 90°.
        if (beyond) expect([half, u95! > 90]).toEqual(["90", true]);
        else if (half) says(half, u95!, sentence);
        if (verdict === undefined) expect(wrongWay, sentence).toBeDefined();
        if (verdict === "in the mean all that was asked")
          expect(average(d) - u95!).toBeGreaterThanOrEqual(gap - 1e-9);
        if (verdict === "no less than was asked") expect(average(d)).toBeGreaterThanOrEqual(gap - 1e-9);
        else if (/less than was asked/.test(verdict ?? "")) expect(average(d) + u95!).toBeLessThan(gap);
        if (/^more than was asked, but/.test(verdict ?? "")) {
          expect(average(d)).toBeGreaterThanOrEqual(gap - 1e-9);
          expect(average(d) - u95!).toBeLessThan(gap);
        }
        if (short) expect(short.split(", ")).toHaveLength(d.filter((x) => x < gap).length);
      },
    ],
  ]);
}
