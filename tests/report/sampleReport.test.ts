import { readFileSync } from "node:fs";
import { join } from "node:path";
import { parseHTML } from "linkedom";
import { expect, it } from "vitest";
import { reportPages } from "../../src/report/page/reportPages.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { demo } from "../helpers/demoReadings.ts";

// The report in docs is the one that today's code writes of the demo: `npm run sample-report` makes it anew.
it("shows in docs what the report says today", () => {
  const whole = demo();
  const { document } = parseHTML("<!doctype html><html><body></body></html>");
  const { body } = reportPages(whole, {
    ...{ names: "names", readingOf: measuredOnce(whole), document, pictureOf: () => null },
    made: "Made from the demo with Blademark.",
  });
  const words = (html: string) => {
    const { document: page } = parseHTML(`<!doctype html><html><body>${html}</body></html>`);
    return [...page.querySelectorAll("h1,h2,p,li,th,td,caption")]
      .map((e) => e.textContent?.trim())
      .filter((text) => text !== "");
  };
  const kept = readFileSync(join(import.meta.dirname, "../../docs/sample-report/report.html"), "utf8");
  expect(words(/<main[^>]*>(.*)<\/main>/s.exec(kept)![1]!)).toEqual(words(body));
});
