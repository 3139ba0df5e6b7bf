import { parseHTML } from "linkedom";
import { expect } from "vitest";
import { reportHtml, reportPages } from "../../../src/report/page/reportPages.ts";
import type { MadeUpStudy } from "../../helpers/madeUpStudy.ts";
import { headline } from "./headlineWords.ts";
import { measuredInstead } from "./measuredWords.ts";
import { numbers } from "./numbersWords.ts";
import { achieved, nextOf, skater, within } from "./otherWords.ts";
import { plainly } from "./plainly.ts";
import { sensitivity } from "./sensitivityWords.ts";
import { cares, notTested, ofMany, skateAgain } from "./studyWords.ts";
import { alike, support } from "./supportWords.ts";

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

/** Holds every sentence of a study's report against plain statistics. */
export function backed(made: MadeUpStudy): void {
  const p = plainly(made);
  const { page, plain, texts } = reportOf(made);
  wellFormed([...page.querySelectorAll("p,li,td,th,h1,h2,caption")].map(plain).join("\n"));
  const first = texts("section:first-of-type header p");
  expect(first.join(" ").split(/\s+/).length, first.join(" ")).toBeLessThanOrEqual(MOST_WORDS);
  const [lead, ...said] = texts("section:first-of-type header > p:not(.care)");
  const led = ofMany(lead!, made);
  const [head, ...shown] = led !== null ? said : [lead!, ...said];
  if (led !== null) expect(shown.pop(), "what next, of the fastest").toBe(led);
  if (led !== null) expect(head).toMatch(/^Pictured are the two asked about\. /);
  const measured = texts("section:first-of-type .measured p");
  expect(measured.length > 0, "measures where there are no times").toBe(p.n === 0 && made.measured.size > 0);
  if (measured.length > 0) measuredInstead(measured, made);
  const after = texts("section:first-of-type .after p");
  if (p.n > 1) alike(after.pop()!, p);
  const rest = [...shown, ...after];
  const wrongTest = notTested(made);
  headline(head!.replace(/^Pictured are the two asked about\. /, ""), p, wrongTest);
  if (wrongTest !== null) expect(rest).toEqual(["The times are below.", skateAgain(made)]);
  else for (const sentence of rest) support(sentence, p);
  cares(texts("section:first-of-type header p.care"), made, led !== null);
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
    nextOf(name, plain(skaterPage.querySelector("p.next")), p, skateAgain(made, name));
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
}
