import { parseHTML } from "linkedom";
import type { Page } from "playwright";
import { describe, expect, it } from "vitest";
import { reportHtml, reportPages } from "../../src/report/page/reportPages.ts";
import { STUDY_KINDS, studyOfKind } from "../helpers/studyKinds.ts";
import { testBrowser } from "./testBrowser.ts";

/** Letter, the shorter of the two papers: 279.4 mm less 2 x 14, and 215.9 mm less 2 x 15, at 96 px an inch. */
const ROOM = { width: Math.floor((185.9 / 25.4) * 96), height: (251.4 / 25.4) * 96 };
/** 600 trials stay under so many sheets. */
const MOST_SHEETS = 30;

const browser = testBrowser();
/** One for all kinds: a window of its own for each would cost more than its report. */
let paper: Promise<Page> | undefined;

describe("the report on Letter paper of a study that is", () => {
  it.each(STUDY_KINDS)("%s: page one holds its picture, and each skater has one side", async (kind) => {
    const { whole, readingOf } = studyOfKind(kind);
    const { document } = parseHTML("<!doctype html><html><body></body></html>");
    const made = { names: "names", readingOf, document, pictureOf: () => null, made: "" } as const;
    paper ??= browser.newPage({ viewport: { width: ROOM.width, height: 1000 } });
    const page = await paper;
    await page.setContent(reportHtml(reportPages(whole, made)));
    await page.emulateMedia({ media: "print" });
    const told = await page.evaluate(() => {
      const first = document.querySelector(".study");
      const top = first?.getBoundingClientRect().top ?? 0;
      const picture = first?.querySelector("figure, table")?.getBoundingClientRect().bottom ?? 0;
      const skaters = [...document.querySelectorAll(".skater")].map((e) => ({
        name: e.querySelector("h2")?.textContent,
        height: e.clientHeight,
      }));
      return { picture: picture - top, skaters };
    });
    expect(told.picture).toBeGreaterThan(0);
    expect(told.picture).toBeLessThan(ROOM.height);
    expect(told.skaters.filter((s) => s.height >= ROOM.height)).toEqual([]);
    if (kind === "600 trials") {
      const pdf = await page.pdf({ format: "Letter" });
      // ISO 32000-2, 7.7.3.3: each sheet is an object of type Page.
      const sheets = pdf.toString("latin1").match(/\/Type\s*\/Page\b/g)?.length ?? 0;
      expect(sheets).toBeGreaterThan(20);
      expect(sheets).toBeLessThan(MOST_SHEETS);
    }
  });
});
