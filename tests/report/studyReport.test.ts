import { describe, expect, it } from "vitest";
import { studyReport } from "../../src/report/studyReport.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { demo } from "../helpers/demoReadings.ts";

const whole = demo();
const readingOf = measuredOnce(whole);

describe("the report of the demo study", () => {
  const report = studyReport(whole, "names", readingOf);

  it("lists every trial in run order, with its time", () => {
    expect(report.trials.map((t) => t.order)).toEqual(report.trials.map((_, i) => i + 1));
    expect(report.trials).toHaveLength(whole.study.trials.length);
    for (const row of report.trials) {
      const trial = whole.study.trials.find((t) => t.order === row.order);
      expect(Number(row.time)).toBe(trial?.time);
    }
  });

  it("gives every number with its uncertainty, or says elsewhere why there is none", () => {
    const reasons = report.refused.flatMap((r) => r.of).join("\n");
    for (const row of report.trials) {
      for (const value of row.values) {
        if (value !== "–") expect(value).toMatch(/^−?\d+(\.\d+)? ± \d+(\.\d+)?$/);
        else expect(reasons).toContain(`${row.skater}, ${row.technique}, trial ${row.repeat}`);
      }
    }
    expect(report.trials.flatMap((t) => t.values).filter((v) => v !== "–").length).toBeGreaterThan(20);
  });

  it("compares the means of the times in study.json, worked out here by hand", () => {
    const mean = (skater: string, technique: string) => {
      const times = whole.study.trials.filter(
        (t) => t.skater === skater && t.technique === technique && t.valid,
      );
      return times.reduce((sum, t) => sum + t.time!, 0) / times.length;
    };
    const all = report.answer!.all;
    expect(all.pairs).toHaveLength(whole.study.skaters.length);
    for (const { id, name } of whole.study.skaters) {
      const pair = all.pairs.find((p) => p.skater === name)!;
      expect(pair.difference).toBeCloseTo(mean(id, "open") - mean(id, "close"), 12);
    }
  });

  it("says which trials were not as asked, and what is left without them", () => {
    const wrong = report.trials.filter((t) => t.asAsked === "no");
    expect(wrong.length).toBeGreaterThan(0);
    for (const t of wrong) {
      const row = report.answer?.sensitivity.find((r) => r.label === "Without trials not as asked");
      expect(row?.note).toContain(`${t.skater}, ${t.technique}, trial ${t.repeat}`);
    }
    const used = (c: { pairs: readonly { nA: number; nB: number }[] }) =>
      c.pairs.reduce((n, p) => n + p.nA + p.nB, 0);
    expect(used(report.answer!.asAskedOnly!)).toBe(used(report.answer!.all) - wrong.length);
  });

  it("shows no name anywhere when codes are asked for", () => {
    const text = JSON.stringify({
      ...studyReport(whole, "codes", readingOf),
      // The question and notes are the person's own words.
      question: "",
    });
    // File names and ids of trials are not part of what is printed; the check holds the plain study objects.
    const printed = text.replace(/"(id|skater|trial|clip|technique)":"[a-z0-9-]+"/g, "");
    for (const { name, code } of whole.study.skaters) {
      expect(printed).not.toContain(name);
      expect(printed).toContain(code);
    }
  });

  it("holds the cautions and the setting", () => {
    expect(report.cautions.join(" ")).toMatch(/15 m of clear run-out/);
    expect(report.setting.join(" ")).toMatch(/Lane: 30 m; gates at 0 m, 30 m/);
    expect(report.marking).toHaveLength(Object.keys(whole.marks).length);
  });

  // The least and most are those of the cells above; the cells are held to the fit in tests/ice/fitScale.test.ts.
  it("says how far the ice points disagree across the lane, and writes times alike", () => {
    const across = report.marking.flatMap((m) => {
      const cm = /\(([\d.]+) cm across the lane\)/.exec(m.scale)?.[1];
      return cm === undefined ? [] : [Number(cm)];
    });
    expect(across.length).toBeGreaterThan(5);
    const [, least, most] = /disagree by ([\d.]+) to ([\d.]+) cm/.exec(report.fit!)!;
    expect([Number(least), Number(most)]).toEqual([Math.min(...across), Math.max(...across)]);
    const decimals = report.trials.flatMap((t) =>
      t.time === "no time" ? [] : [t.time.split(".")[1]!.length],
    );
    expect(new Set(decimals).size).toBe(1);
  });
});

describe("a report of nothing", () => {
  it("says what is missing instead of failing", () => {
    const bare: WholeStudy = {
      study: { ...whole.study, skaters: [], techniques: [], trials: [], compare: null },
      marks: {},
    };
    const report = studyReport(bare, "names", measuredOnce(bare));
    expect(report.answer).toBeNull();
    expect(report.trials).toEqual([]);
  });
});
