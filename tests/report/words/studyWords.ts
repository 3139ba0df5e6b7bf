import { expect } from "vitest";
import type { Trial } from "../../../src/study/types.ts";
import { DEGREES_A_METRE, type MadeUpStudy } from "../../helpers/madeUpStudy.ts";
import { average, deviation, squares, twoSided } from "../../helpers/plainStatistics.ts";
import { count, holds, plainly, says } from "./plainly.ts";

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
  const [a, b] = [of(study.techniques[0]!.id), of(study.techniques[1]!.id)];
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

const MANY =
  /^(?:(.*) had the best mean time of all (\w+)(.*)\.|The study has (\w+) techniques; this compares two of them\.)$/;

/** Is the headline about the fastest of many techniques? Then it is checked here. @returns what must come next; null = it is not */
export function ofMany(sentence: string, made: MadeUpStudy): string | null {
  const found = MANY.exec(sentence);
  if (!found) return null;
  const [, best, all, rest] = found;
  expect(count(all!)).toBe(made.whole.study.techniques.length);
  expect(rest, "only what is clear comes first").toMatch(/^: /);
  const { open, near } = fastest(best!, rest!, made);
  const name = best!.toLowerCase();
  const together = (others: readonly string[]) => {
    const again = [name, ...others];
    return `${again.slice(0, -1).join(", ")} and ${again.at(-1)}`;
  };
  if (open.length > 0) return `Next: time ${together(open)} again; the rest fell behind.`;
  return near.length > 0
    ? `Next: time ${together(near)} again: is the lead worth it?`
    : `Next: coach ${name}, and time it again another day.`;
}

/** What those who did not do what was asked should do: one skater, or the techniques nobody showed. "" = all is well. */
export function skateAgain(made: MadeUpStudy, skater?: string): string {
  const { study } = made.whole;
  const own = study.skaters.find((s) => s.name === skater)?.id;
  const missed = study.techniques.slice(0, 2).filter(({ id }) => {
    const trials = study.trials.filter((t) => t.technique === id && t.valid);
    const answers = trials
      .filter((t) => skater === undefined || t.skater === own)
      .map((t) => asAsked(made, t));
    return answers.includes("no") && (skater !== undefined || !answers.includes("yes"));
  });
  return missed.length === 0 ? "" : `Next: skate ${missed.map((t) => t.name).join(" and ")} again, as asked.`;
}

/**
 * The lines of doubt that stand before the first picture.
 *
 * @param led the fastest of many techniques stands first already
 */
export function cares(sentences: readonly string[], made: MadeUpStudy, led = false): void {
  const some1 = plainly(made).n > 0;
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
        /clips? do(?:es)? not fit|as asked|measured/,
        () => {
          heard.care = true;
          some(
            doubted.length,
            /one clip does not fit its time/i,
            /(\w+) clips do not fit their times/,
          )(sentence);
          some(wrong.length, /one trial was not as asked/i, /(\w+) trials were not as asked/)(sentence);
          const left = banded ? open.length : 0;
          const unmeasured = open.every((t) => !made.measured.has(t.id));
          const all = left === two.length;
          const m =
            /(?:(?<none>no trial) was measured yet|(?<k>\w+) of (?<n>\w+) (?:trials were )?not measured)(?:: nothing shows how they were skated)?|for (?:(?<noneTold>no trial) can it be told yet whether it was as asked|(?<kTold>\w+) of (?<nTold>\w+) (?:trials )?it can’t be told(?: whether they were as asked)?)/i.exec(
              sentence,
            )?.groups;
          expect(m !== undefined, sentence).toBe(left > 0);
          if (m) {
            const { none, k, n, noneTold, kTold, nTold } = m;
            expect((none ?? k) !== undefined, sentence).toBe(unmeasured);
            expect((none ?? noneTold) !== undefined, sentence).toBe(all);
            if (!all) expect([count((k ?? kTold)!), count((n ?? nTold)!)]).toEqual([left, two.length]);
          }
          expect(sentence.endsWith(" See below.")).toBe(doubted.length + wrong.length > 0 && some1);
        },
      ],
      [
        MANY,
        ([, best, all, rest, otherwise]) => {
          heard.many = true;
          expect(count(all ?? otherwise!)).toBe(study.techniques.length);
          if (best) fastest(best, rest!, made);
          // What is clear stands first, unless the trials were of no technique.
          if (best && notTested(made) === null) expect(rest).toMatch(/^, but /);
        },
      ],
    ]);
  expect(heard).toEqual({
    care: wrong.length + doubted.length + (banded ? open.length : 0) > 0,
    many: study.techniques.length > 2 && !led,
  });
}

export function doubts(made: MadeUpStudy) {
  const { study } = made.whole;
  const compared = study.techniques.slice(0, 2).map((t) => t.id);
  const two = study.trials.filter((t) => t.valid && compared.includes(t.technique));
  const wrong = two.filter((t) => asAsked(made, t) === "no");
  const kept = two.filter((t) => !wrong.includes(t));
  return {
    ...{ two, wrong, kept },
    // A clip that does not fit its time is told by itself.
    open: two.filter((t) => asAsked(made, t) === "can't tell" && !made.suspect.has(t.id)),
    doubted: two.filter((t) => made.suspect.has(t.id)),
    unmeasured: kept.filter((t) => made.suspect.has(t.id) || !made.measured.has(t.id)).length,
  };
}

/** The best mean over skaters with every technique, and what Holm leaves of its leads. */
function fastest(
  best: string,
  rest: string,
  { whole: { study } }: MadeUpStudy,
): { readonly open: readonly string[]; readonly near: readonly string[] } {
  const times = study.skaters.map((s) =>
    study.techniques.map((technique) =>
      study.trials.flatMap((t) =>
        t.skater === s.id && t.technique === technique.id && t.valid && t.time !== null ? [t.time] : [],
      ),
    ),
  );
  const table = times.map((row) => row.map((cell) => (cell.length === 0 ? null : average(cell))));
  const repeats = times.flat().filter((cell) => cell.length > 1);
  const df = repeats.reduce((sum, cell) => sum + cell.length - 1, 0);
  const error = df === 0 ? 0 : Math.sqrt(repeats.reduce((sum, cell) => sum + squares(cell), 0) / df);
  const complete = table.filter((row) => !row.includes(null)) as number[][];
  const means = study.techniques.map((_, k) => average(complete.map((row) => row[k]!)));
  const first = means.indexOf(Math.min(...means));
  expect(best.toLowerCase()).toBe(study.techniques[first]!.name);
  const pairs = study.techniques.flatMap((x, i) =>
    study.techniques.slice(i + 1).map((y, j) => {
      const k = i + 1 + j;
      const d = table.flatMap((row) => (row[i] == null || row[k] == null ? [] : [row[k]! - row[i]!]));
      const sd = d.length < 2 ? 0 : deviation(d);
      const both = times.filter((row) => row[i]!.length > 0 && row[k]!.length > 0);
      const shares = both.reduce((sum, row) => sum + 1 / row[i]!.length + 1 / row[k]!.length, 0);
      // What skaters' differences say, and never more than their repeats do.
      const least = error > 1e-12 ? twoSided(average(d) / ((error * Math.sqrt(shares)) / d.length), df) : 0;
      const p =
        sd > 1e-9 ? Math.max(twoSided(average(d) / (sd / Math.sqrt(d.length)), d.length - 1), least) : null;
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
    return { open: [], near: [] };
  }
  const m =
    /^: (.*?), (each )?more than chance over (at least )?(\w+) skaters, allowing for (\w+) comparisons(?:; it can’t be told from (.*))?$/.exec(
      rest,
    );
  if (!m) expect.fail(`no leads: ${rest}`);
  const [, , each, atLeast, over, looks] = m!;
  const skaters = clear.map((q) => q.n);
  expect([count(looks!), count(over!)]).toEqual([pairs.length, Math.min(...skaters)]);
  expect(each !== undefined).toBe(clear.length > 1);
  expect(atLeast !== undefined).toBe(Math.min(...skaters) < Math.max(...skaters));
  const said = m![1]!
    .split(", ")
    .map((part) => /^([\d.]+) s ahead of (.*?)(?: \(less than the ([\d.]+) s that matters\))?$/.exec(part)!);
  expect(new Set(said.map((x) => x[2]))).toEqual(new Set(clear.map(other)));
  const worth = study.worthwhile ?? 0;
  for (const [, size, name, band] of said) {
    const { lead } = clear.find((q) => other(q) === name)!;
    says(size!, lead, rest);
    expect(band !== undefined, rest).toBe(lead < worth - 1e-9);
    if (band) says(band, worth, rest);
  }
  const byLead = (of: typeof pairs) => of.sort((q, r) => q.lead - r.lead).map(other);
  return {
    open: byLead(pairs.filter((q) => (q.i === first || q.k === first) && q.n > 0 && !clear.includes(q))),
    near: byLead(clear.filter((q) => q.lead < worth - 1e-9)),
  };
}
