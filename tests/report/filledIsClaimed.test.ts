import { parseHTML } from "linkedom";
import { describe, expect, it } from "vitest";
import { reportHtml, reportPages } from "../../src/report/page/reportPages.ts";
import { STUDY_KINDS, studyOfKind } from "../helpers/studyKinds.ts";
import { plainly } from "./words/plainly.ts";
import { notTested } from "./words/studyWords.ts";

// What is filled, green or red on page one must be claimed; held against plain statistics of the typed times.

/** The first picture: its filled and open dots, its rows' words by colour, its key. */
function firstPicture(kind: string) {
  const { whole, readingOf } = studyOfKind(kind);
  const { document } = parseHTML("<!doctype html><html><body></body></html>");
  const pages = reportPages(whole, { names: "names", readingOf, document, pictureOf: () => null, made: "" });
  const { document: page } = parseHTML(reportHtml(pages));
  const figure = page.querySelector("section:first-of-type figure")!;
  const count = (selector: string) => figure.querySelectorAll(selector).length;
  const rows = (colour: string) =>
    [...figure.querySelectorAll(`g[font-weight="600"][fill="var(--${colour})"] > text`)].flatMap((e) =>
      / ± |faster|slower|tell|small/.test(e.textContent!) ? [e.textContent!] : [],
    );
  return {
    filled: count('.chart g[fill="var(--ink)"] > circle'),
    open: count('.chart g[fill="var(--card)"] > circle'),
    ...{ good: rows("good"), bad: rows("bad"), quiet: rows("quiet") },
    key: figure.querySelector(".key")!.textContent!.replace(/\s+/g, " "),
  };
}

describe("the first picture of a study that is", () => {
  const timed = STUDY_KINDS.filter((kind) => !["one technique", "only measurements"].includes(kind));
  it.each(timed)("%s: filled and coloured is what is claimed, and the key names the rest", (kind) => {
    const made = studyOfKind(kind);
    const p = plainly(made);
    const tested = notTested(made) === null;
    const verdicts = [...p.verdicts.values()];
    const of = (verdict: string) => (tested ? verdicts.filter((v) => v.verdict === verdict).length : 0);
    const picture = firstPicture(kind);
    const settled = p.conclusion === "settled";
    const these =
      (settled || ((p.conclusion === "these" || p.conclusion === "alike") && !p.blocks)) &&
      Math.abs(p.mean) > (p.these ?? Number.POSITIVE_INFINITY);
    const means = p.n < 2 ? 0 : [p.these, p.general].filter((half) => half !== null).length;
    const claimed = tested ? Number(these) + Number(settled) : 0;
    expect(picture.filled).toBe(of("faster") + of("slower") + claimed);
    expect(picture.filled + picture.open).toBe(p.n + means);
    expect(picture.good).toHaveLength(of("faster"));
    expect(picture.bad).toHaveLength(of("slower"));
    expect([...picture.good, ...picture.bad].every((t) => /(faster|slower)$/.test(t))).toBe(true);
    expect(picture.quiet).toHaveLength(p.n - of("faster") - of("slower"));
    if (!tested) return void expect(picture.key).toContain("no test of these techniques");
    const ends = (word: RegExp) => picture.quiet.filter((t) => word.test(t)).length;
    expect(ends(/may be too small$/)).toBe(verdicts.filter((v) => v.oneSide).length);
    expect(ends(/(?<!may be )too small$/)).toBe(verdicts.filter((v) => v.small).length);
    if (ends(/can’t tell$/) > 0) expect(picture.key).toContain("can’t tell");
    if (ends(/may be too small$/) > 0) expect(picture.key).toMatch(/may be\)? too small/);
    if (ends(/(?<!may be )too small$/) > 0) expect(picture.key).toMatch(/too small\s*$/);
    expect(/ clear /.test(`${picture.key} `)).toBe(picture.filled > 0);
    expect(/can’t tell|too small\s*$/.test(picture.key)).toBe(picture.open > 0);
  });
});
