import { expect } from "vitest";
import type { Trial } from "../../../src/study/types.ts";
import type { MadeUpStudy } from "../../helpers/madeUpStudy.ts";
import { average, deviation, t975 } from "../../helpers/plainStatistics.ts";
import { count, holds, NUMBER, type Plain, plainly, RANGE, says } from "./plainly.ts";
import { doubts } from "./studyWords.ts";

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
    if (q.general === null)
      return void expect(text).toBe(q.n === 1 ? "one skater has no interval" : "no scatter to judge it by");
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
          const m = new RegExp(`^${RANGE} s(?:, ± ${NUMBER} s at most)?$`).exec(text);
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
          expect(some ? count(some) : 0).toBe(
            none || q.n === 0 ? 0 : kept.filter((t) => !made.measured.has(t.id)).length,
          );
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
      p.n === 0 || (p.n === 1 && doubted.length + wrong.length === 0)
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
