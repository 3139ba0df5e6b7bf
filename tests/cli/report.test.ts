import { existsSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { blademark } from "../helpers/commandLine.ts";
import { DEMO } from "../helpers/demoReadings.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

describe("report STUDY --out DIR", () => {
  it("writes the report, its tables, its drawings and its points, and the same again over them", async () => {
    const out = join(temporaryFolder(), "new", "report");
    const ran = await blademark("report", DEMO, "--out", out, "--no-pictures");
    expect(ran.status, ran.said).toBe(0);
    expect(ran.out).toBe("");
    expect(readdirSync(out).sort()).toEqual([".blademark-report", "c3d", "figures", "report.html", "tables"]);
    const page = readFileSync(join(out, "report.html"), "utf8");
    for (const name of ["Aino", "Bea", "Signe", "Tove", "Wren"])
      expect(page).toContain(`aria-label="${name}"`);
    // Self-contained: the only addresses are those that name XML vocabularies.
    const outside = /https?:|<script|<link|\bsrc=|url\((?!#)/;
    expect(outside.exec(page.replaceAll("http://www.w3.org/", ""))).toBe(null);
    expect(readdirSync(join(out, "figures"))).toContain("each-skater.svg");
    for (const file of readdirSync(join(out, "figures"))) {
      expect(readFileSync(join(out, "figures", file), "utf8"), file).not.toContain("var(--");
    }
    writeFileSync(join(out, "tables", "old.csv"), "of an earlier report");
    expect((await blademark("report", DEMO, "--out", out, "--no-pictures")).status).toBe(0);
    expect(existsSync(join(out, "tables", "old.csv"))).toBe(false);
    // The chart library counts its line ends through the life of the program.
    const plain = (text: string) => text.replace(/plot-marker-\d+/g, "plot-marker");
    expect(plain(readFileSync(join(out, "report.html"), "utf8")) === plain(page)).toBe(true);
  });

  it("has no name in any file or file name under codes", async () => {
    const out = join(temporaryFolder(), "report");
    expect((await blademark("report", DEMO, "--out", out, "--no-pictures", "--codes")).status).toBe(0);
    const names = /\b(aino|bea|signe|tove|wren)\b/i;
    for (const entry of readdirSync(out, { recursive: true, withFileTypes: true })) {
      expect(entry.name).not.toMatch(names);
      if (entry.isFile() && !entry.name.endsWith(".c3d"))
        expect(readFileSync(join(entry.parentPath, entry.name), "utf8"), entry.name).not.toMatch(names);
    }
  });

  it("touches no folder that holds something else", async () => {
    const out = join(temporaryFolder(), "thesis");
    mkdirSync(out);
    writeFileSync(join(out, "report.html"), "three years of work");
    const ran = await blademark("report", DEMO, "--out", out);
    expect(ran.status).toBe(1);
    expect(ran.said).toContain("holds something else already");
    expect(readdirSync(out)).toEqual(["report.html"]);
    expect(readFileSync(join(out, "report.html"), "utf8")).toBe("three years of work");
  });

  it("writes through no link that came in a report's folder", async () => {
    const [out, outside] = [join(temporaryFolder(), "report"), temporaryFolder()];
    mkdirSync(out);
    for (const name of [".blademark-report", "report.html"]) {
      writeFileSync(join(outside, name), "somebody's own");
      symlinkSync(join(outside, name), join(out, name));
    }
    symlinkSync(outside, join(out, "tables"));
    expect((await blademark("report", DEMO, "--out", out, "--no-pictures")).status).toBe(0);
    expect(readdirSync(outside).sort()).toEqual([".blademark-report", "report.html"]);
    for (const name of readdirSync(outside))
      expect(readFileSync(join(outside, name), "utf8")).toBe("somebody's own");
    expect(readFileSync(join(out, "report.html"), "utf8")).toContain("<!doctype html>");
  });

  it("says what is wrong with the command line, the folder or the study", async () => {
    expect((await blademark("report", DEMO)).status).toBe(2);
    const file = join(temporaryFolder(), "a file");
    writeFileSync(file, "");
    expect(await blademark("report", DEMO, "--out", file)).toMatchObject({
      status: 1,
      said: expect.stringContaining("cannot be written"),
    });
    const none = await blademark("report", join(temporaryFolder(), "none"), "--out", temporaryFolder());
    expect(none.status).toBe(1);
  });

  it("reports a study with nothing marked, and one with one technique, without inventing anything", async () => {
    for (const techniques of [STUDY.techniques, STUDY.techniques.slice(0, 1)]) {
      const trials = STUDY.trials.filter((t) => techniques.some((x) => x.id === t.technique));
      const out = join(temporaryFolder(), "report");
      const ran = await blademark(
        "report",
        studyFolder({
          ...STUDY,
          techniques,
          trials,
          compare: null,
          question: 'Is <b>"close"</b> & open alike?',
        }),
        ...["--out", out],
      );
      expect(ran.status, ran.said).toBe(0);
      const page = readFileSync(join(out, "report.html"), "utf8");
      expect(page.includes("Is &lt;b&gt;&quot;close&quot;&lt;/b&gt; &amp; open alike?")).toBe(true);
      expect(/NaN|undefined|Infinity|\bnull\b|false<|\[object/.exec(page)).toBe(null);
    }
  });
});
