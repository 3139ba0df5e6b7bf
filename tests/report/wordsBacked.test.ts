import { parseHTML } from "linkedom";
import { describe, expect, it } from "vitest";
import { reportHtml, reportPages } from "../../src/report/page/reportPages.ts";
import { type MadeUpStudy, madeUpStudy } from "../helpers/madeUpStudy.ts";
import { t975, twoSided } from "../helpers/plainStatistics.ts";
import { headline } from "./words/headlineWords.ts";
import { achieved, numbers, skater, within } from "./words/otherWords.ts";
import { plainly } from "./words/plainly.ts";
import { sensitivity } from "./words/sensitivityWords.ts";
import { cares, notTested } from "./words/studyWords.ts";
import { alike, support } from "./words/supportWords.ts";

// A blind reader: every sentence of the report about a difference is taken apart, and its numbers and its claim are
// held against what `plainStatistics` makes of the typed times, which shares nothing with the code of the sentences.
// A sentence that no pattern here knows fails the test: nothing is said that nobody checks.

const SEEDS = 60;
/** Of them so many again, told by how arms swing. */
const ARM_SEEDS = 30;
/** What is read before the first picture, cares included. */
const MOST_WORDS = 90;

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

  it.each([
    ...Array.from({ length: SEEDS }, (_, seed) => [seed, "touchdowns"] as const),
    ...Array.from({ length: ARM_SEEDS }, (_, seed) => [seed, "arms"] as const),
  ])("is backed by the numbers of made-up study %i of %s", (seed, of) => {
    const made = madeUpStudy(seed, of === "arms");
    const p = plainly(made);
    const { page, plain, texts } = reportOf(made);
    wellFormed([...page.querySelectorAll("p,li,td,th,h1,h2,caption")].map(plain).join("\n"));
    const first = texts("section:first-of-type header p");
    expect(first.join(" ").split(/\s+/).length, first.join(" ")).toBeLessThanOrEqual(MOST_WORDS);
    const [head, ...shown] = texts("section:first-of-type header p:not(.care)");
    const after = texts("section:first-of-type .after p");
    if (p.n > 1) alike(after.pop()!, p);
    const rest = [...shown, ...after];
    const wrongTest = notTested(made);
    headline(head!, p, wrongTest);
    for (const sentence of rest) support(sentence, p);
    if (wrongTest !== null) expect(rest).toEqual(["The times are below."]);
    cares(texts("section:first-of-type header p.care"), made);
    sensitivity(
      [...page.querySelectorAll(".sensitivity tbody tr")].map((row) => {
        const note = plain(row.querySelector("small"));
        const [text, n] = [...row.querySelectorAll("td")].map(plain);
        return { label: plain(row.querySelector("th")).replace(note, "").trim(), note, text: text!, n: n! };
      }),
      made,
    );
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
  });
});
