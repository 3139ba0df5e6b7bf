import { parseHTML } from "linkedom";
import { describe, expect, it } from "vitest";
import { reportHtml, reportPages } from "../../src/report/page/reportPages.ts";
import type { MadeUpStudy } from "../helpers/madeUpStudy.ts";
import {
  average,
  deviation,
  signFlip,
  squares,
  t975,
  tShared,
  twoSided,
} from "../helpers/plainStatistics.ts";
import { STUDY_KINDS, studyOfKind } from "../helpers/studyKinds.ts";

// A reader who has never seen the code takes ten seconds over page one: only words before the first picture, no types, no
// numbers of the program. What she then believes is held against statistics of the typed times, worked out by a few plain rules.

const WORDS = "none one two three four five six seven eight nine ten eleven twelve".split(" ");
const number = (word: string) => (/^\d+$/.test(word) ? Number(word) : WORDS.indexOf(word.toLowerCase()));

/** What stands on page one above the first picture, sentence by sentence. */
function readAloud({ whole, readingOf }: MadeUpStudy): string[] {
  const { document } = parseHTML("<!doctype html><html><body></body></html>");
  const made = { names: "names", readingOf, document, pictureOf: () => null, made: "" } as const;
  const { document: page } = parseHTML(reportHtml(reportPages(whole, made)));
  const header = page.querySelector("section header")!;
  return [...header.querySelectorAll("p")].map((p) => p.textContent!.replaceAll("\u00a0", " ").trim());
}

interface Belief {
  /** A technique, or what is said in its place. */
  readonly which: string;
  /** Whether other skaters would do the same. */
  readonly others: "yes" | "too few" | "open" | "not said";
  /** Seconds; null = none named. */
  readonly much: number | null;
  readonly next: string;
}

const LEADS: readonly (readonly [RegExp, (m: RegExpExecArray) => string])[] = [
  [/^None of .* shows what was asked|does not show what was asked/, () => "not tested"],
  [/^Without times/, () => "no times"],
  [/^It depends on the skater/, () => "depends"],
  [/^It can’t be told/, () => "can't tell"],
  [/^Neither is faster by an amount that matters/, () => "neither"],
  [/too little to matter/, () => "too little"],
  [/^(.*?) had the best mean time of all/, ([, name]) => name!.toLowerCase()],
  [/^(.*?) was faster, by/, ([, name]) => name!.toLowerCase()],
  [/^Nothing is compared yet: (.*?) took [\d.]+ s on average over/, () => "only one"],
];

function believe(sentences: readonly string[]): Belief {
  const [lead = ""] = sentences;
  const all = sentences.join(" ");
  const found = LEADS.map(([pattern, say]) => [pattern.exec(lead), say] as const).find(([m]) => m);
  const size = /([\d.]+)(?: ± [\d.]+)? s (?:on average|apart|ahead)/.exec(lead);
  return {
    which: found ? found[1](found[0]!) : `nobody understands: ${lead}`,
    others: /For other skaters \w+ are too few|says nothing about others/.test(all)
      ? "too few"
      : /For skaters like these|more than chance over/.test(all)
        ? "yes"
        : /For other skaters it is open/.test(all)
          ? "open"
          : "not said",
    much: size ? Number(size[1]) : null,
    next: sentences.find((s) => s.startsWith("Next: ")) ?? "",
  };
}

/** What may be believed, by rules of a page of a textbook. */
function truth({ whole: { study }, measured, suspect }: MadeUpStudy) {
  const [first, second] = study.techniques;
  if (!first || !second) return { which: "only one", others: "not said", next: /second technique/ };
  const timesOf = (skater: string, technique: string) =>
    study.trials
      .filter((t) => t.skater === skater && t.technique === technique && t.valid && t.time !== null)
      .map((t) => ({ order: t.order, time: t.time! }));
  const cells = study.skaters.map(({ id }) => study.techniques.map((t) => timesOf(id, t.id)));
  if (cells.flat(2).length === 0) return { which: "no times", others: "too few", next: /^Next: time each/ };
  const judged = study.trials.filter((t) => measured.has(t.id) && !suspect.has(t.id));
  const shows = judged.filter((t) => {
    const { min = -1, max = 9 } = study.techniques.find((x) => x.id === t.technique)!.asked[0] ?? {};
    const { touchdown, u95 } = measured.get(t.id)!;
    return touchdown + u95 >= min && touchdown - u95 <= max;
  });
  if (judged.length > 0 && shows.length === 0)
    return { which: "not tested", others: "not said", next: /skate .* again, as asked/ };
  const means = (cell: readonly { time: number }[]) => average(cell.map((t) => t.time));
  if (study.techniques.length > 2) {
    const each = study.techniques.map((_, k) => cells.map((row) => means(row[k]!)));
    const order = each.map(average);
    const best = order.indexOf(Math.min(...order));
    const { name } = study.techniques[best]!;
    const looks = (each.length * (each.length - 1)) / 2;
    each.forEach((own, k) => {
      if (k === best) return;
      const d = own.map((x, s) => x - each[best]![s]!);
      const p = twoSided(average(d) / (deviation(d) / Math.sqrt(d.length)), d.length - 1);
      expect(p * looks, `${name} is ahead of ${study.techniques[k]!.name}`).toBeLessThan(0.05);
    });
    const lead = Math.min(...order.filter((_, k) => k !== best)) - order[best]!;
    // A lead that may be too small to matter is timed again before anybody is coached.
    const next =
      lead < (study.worthwhile ?? 0) ? `^Next: time ${name} and .* again` : `^Next: coach ${name}, `;
    return { which: name, others: "yes", much: lead, next: new RegExp(next) };
  }
  const both = cells.filter(([a, b]) => a!.length > 0 && b!.length > 0);
  const d = both.map(([a, b]) => means(b!) - means(a!));
  const [n, mean] = [d.length, average(d)];
  const repeats = cells.flat().filter((c) => c.length > 1);
  const df = repeats.reduce((sum, c) => sum + c.length - 1, 0);
  const error = Math.sqrt(repeats.reduce((sum, c) => sum + squares(c.map((t) => t.time)), 0) / df);
  const se = both.map(([a, b]) => error * Math.sqrt(1 / a!.length + 1 / b!.length));
  const these = (t975(df) * Math.hypot(...se)) / n;
  const much = Math.abs(mean);
  const worth = study.worthwhile ?? 0;
  const name = mean < 0 ? second.name : first.name;
  if (n === 1) return { which: "can't tell", others: "too few", next: /five more skaters/ };
  const after = both.filter(([a, b]) => b!.every((y) => a!.every((x) => x.order < y.order)));
  if (after.length === n) return { which: "can't tell", others: "not said", next: /order alternating/ };
  if (error < 1e-9) return { which: "can't tell", others: "too few", next: /more digits/ };
  const beyond = d.map((x, k) => Math.sign(x) * Math.max(0, Math.abs(x) - tShared(df, n) * se[k]! - worth));
  if (beyond.some((x) => x > 0) && beyond.some((x) => x < 0))
    return { which: "depends", others: "not said", next: /for each skater/ };
  const sd = deviation(d);
  const half = Math.max(these, (t975(n - 1) * sd) / Math.sqrt(n));
  if (n >= 6 && much > half && signFlip(d, 1 / 6000) <= 0.05)
    return much + half < worth
      ? { which: "too little", others: "yes", much, next: /what else counts/ }
      : {
          ...{ which: name, others: "yes", much },
          next: new RegExp(`^Next: ${much - half > worth ? "coach" : "time"} ${name}[, ]`),
        };
  if (n >= 6 && much + half < worth)
    return { which: "neither", others: "yes", much, next: /what else counts/ };
  if (n < 6 && much > these)
    return {
      which: name,
      others: "too few",
      much,
      next: new RegExp(`^Next: ${WORDS[6 - n]} more skaters?; six who agree can settle it`),
    };
  return { which: "can't tell", others: n < 6 ? "too few" : "open", much, next: /^Next: / };
}

describe("whoever reads page one for ten seconds", () => {
  it.each(STUDY_KINDS)(
    "knows which, for whom, how sure, how much and what next of a study that is %s",
    (kind) => {
      const made = studyOfKind(kind);
      const sentences = readAloud(made);
      const belief = believe(sentences);
      const { next, ...may } = truth(made);
      expect({ which: belief.which, others: belief.others }, sentences.join("\n")).toEqual({
        which: may.which,
        others: may.others,
      });
      expect(belief.next).toMatch(next);
      if (may.much !== undefined && belief.much !== null)
        expect(Math.abs(belief.much - may.much), sentences[0]!).toBeLessThanOrEqual(0.0051);
      if (may.much !== undefined && !["depends", "can't tell"].includes(may.which))
        expect(belief.much, sentences[0]!).not.toBeNull();
      const how = /Together (?:both|these (\w+)) make it clear/.exec(sentences.join(" "));
      if (how?.[1]) expect(number(how[1])).toBeGreaterThan(2);
    },
  );
});
