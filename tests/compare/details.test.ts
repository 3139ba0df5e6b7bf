import { describe, expect, it } from "vitest";
import { compareJson } from "../../src/compare/compareJson.ts";
import { compareTechniques } from "../../src/compare/compareTechniques.ts";
import { manyTechniques } from "../../src/compare/manyTechniques.ts";
import { manyWords } from "../../src/compare/manyWords.ts";
import { numberRows } from "../../src/compare/numberRows.ts";
import { plainWords } from "../../src/compare/plainWords.ts";
import { techniqueModel } from "../../src/compare/techniqueModel.ts";
import type { CompareRow } from "../../src/compare/types.ts";
import { type TimedMeasure, withinSkater } from "../../src/compare/withinSkater.ts";
import { withinWords } from "../../src/compare/withinWords.ts";
import type { Study } from "../../src/study/types.ts";
import { achieved } from "../../src/trials/achieved.ts";
import type { TechniqueCheck } from "../../src/trials/techniqueCheck.ts";
import { pairedRows } from "../helpers/pairedRows.ts";
import { seeded } from "../helpers/random.ts";
import reference from "../reference/statistics.json" with { type: "json" };

const plain = (lines: readonly string[]) => lines.join(" ").replaceAll("\u00a0", " ");

describe("what 10 cm go with", () => {
  const r = reference.within;
  const trials = r.time.map((time, i) => ({
    skater: r.skater[i]!,
    technique: r.tech[i]!,
    time,
    measure: r.width[i]!,
  }));

  // R: slope -0.48185 s/m, interval -0.75097 to -0.21273; a tenth of each.
  it("says it with its interval, and that it is no proof of cause", () => {
    const words = plain(withinWords(withinSkater(trials), "stride_width_m"));
    expect(words).toContain(
      "Within a skater, 10 cm more stride width went with 0.048 ± 0.027 s less time (five skaters, ten means).",
    );
    expect(words).toMatch(/With two techniques this is the same difference in other units, no second proof/);
  });

  it("says nothing where the measure differs by no more than it can be measured to", () => {
    // Scatter of ten means about their skaters', against that of their own u95: by hand from the same numbers.
    const means = [...new Set(trials.map((t) => t.skater))].map((skater) => {
      const own = trials.filter((t) => t.skater === skater).map((t) => t.measure);
      const centre = own.reduce((a, b) => a + b, 0) / own.length;
      return own.reduce((sum, w) => sum + (w - centre) ** 2, 0);
    });
    const perMean = Math.sqrt(means.reduce((a, b) => a + b, 0) / means.length);
    const coarse = withinSkater(trials.map((t) => ({ ...t, u95: 1.96 * perMean })));
    expect(coarse).toMatchObject({
      value: null,
      why: expect.stringMatching(/by no more than it could be measured to, so it cannot explain the time/),
    });
    const fine = withinSkater(trials.map((t) => ({ ...t, u95: (1.96 * perMean) / 5 })));
    expect(fine).toEqual(withinSkater(trials));
  });

  it("says where it reckons with more than anybody showed", () => {
    const near = trials.map((t) => ({ ...t, measure: t.measure / 10 }));
    expect(plain(withinWords(withinSkater(near), "stride_width_m"))).toMatch(
      /whose own differed by .* m only\)/,
    );
  });

  it("claims no direction where the interval holds 0", () => {
    const flat = trials.map((t, i) => ({ ...t, time: 4.7 + ((i * 7) % 5) / 100 }));
    expect(plain(withinWords(withinSkater(flat), "stride_width_m"))).toMatch(
      /went with anything from 0\.\d+ s less to 0\.\d+ s more time.*no relation can be told/,
    );
  });

  it.each<[string, TimedMeasure[]]>([
    ["nobody", []],
    ["one skater", trials.slice(0, 4)],
    ["one technique", trials.filter((t) => t.technique === "a")],
    ["a measure that never changes", trials.map((t) => ({ ...t, measure: 1 }))],
    ["times that never change", trials.map((t) => ({ ...t, time: 4.5 }))],
    ["a perfect line", trials.map((t) => ({ ...t, time: 5 - t.measure / 2 }))],
  ])("says why not for %s", (_, given) => {
    const line = withinSkater(given);
    expect(line.value).toBeNull();
    expect(plain(withinWords(line, "stride_width_m"))).not.toMatch(/NaN|Infinity|undefined/);
  });
});

describe("repeats that are all exactly alike", () => {
  // A hand clock of 0.1 s, and decimals whose mean of three is not themselves in binary.
  const three = (value: number) => [value, value, value];
  const rows = pairedRows([4.79, 4.53, 3.37].map(three), [4.42, 4.22, 4.05].map(three));

  it("judge nobody, be they two or three: no scatter is no certainty", () => {
    const c = compareTechniques({ rows, a: "a", b: "b", quantity: "time_s", worthwhile: null });
    expect(c.typicalError).toMatchObject({ value: 0, ci95: null });
    for (const told of [c.these, c.response, c.model, c.modelWithPlace, c.mdc95Single])
      expect(told).toMatchObject({ value: null, why: expect.stringMatching(/exactly alike/) });
    expect(c.pairs.map((p) => p.verdict)).toEqual(["can't tell", "can't tell", "can't tell"]);
    expect(c.pairs.flatMap((p) => [p.u95.value, p.u95A.value, p.u95B.value])).toEqual(Array(9).fill(null));
    expect(plain(plainWords(c).support)).not.toMatch(/± 0\.0+ s/);
    // Nor is the scatter itself shown as 0: only smaller than the clock's steps.
    const unknown = { value: null, why: expect.stringMatching(/exactly alike/) };
    expect(compareJson(c)).toMatchObject({ typical_error_s: unknown, mdc95_single_s: unknown });
    const row = numberRows(c).find((r) => r.label === "Typical error of one trial");
    expect(row).toMatchObject({ isKnown: false, text: expect.stringMatching(/exactly alike/) });
  });

  it("but for a steady change, judge nobody either", () => {
    const steady = rows.map((r) => ({ ...r, value: (r.value ?? 0) + 0.01 * r.order }));
    const c = compareTechniques({ rows: steady, a: "a", b: "b", quantity: "time_s", worthwhile: null });
    // Nor is the change itself known to no digit at all (summary.lm of R: "essentially perfect fit").
    const change = { value: expect.closeTo(0.01, 9), ci95: { why: expect.stringMatching(/exactly alike/) } };
    expect(c.orderEffect).toMatchObject(change);
    expect(c.pairs.map((p) => p.verdict)).toEqual(["can't tell", "can't tell", "can't tell"]);
  });
});

describe("the mixed model", () => {
  const cells = (values: readonly (readonly [number[], number[]])[]) =>
    values.map((own, i) => ({
      skater: `S${i}`,
      cells: own.map((cell, t) => cell.map((value, k) => ({ place: 2 * k + t + 1, value }))),
    }));

  // Without scatter of repeats the likelihood has no end (Pinheiro & Bates 2000, section 2.4: sigma in the denominator).
  it("refuses repeats that are all exactly alike, also once a steady change is taken out", () => {
    const alike = cells([
      [
        [5.1, 5.1],
        [4.9, 4.9],
      ],
      [
        [5.4, 5.4],
        [5.1, 5.1],
      ],
    ]);
    expect(techniqueModel(alike)).toMatchObject({ value: null, why: expect.stringMatching(/exactly alike/) });
    const steady = alike.map((s) => ({
      ...s,
      cells: s.cells.map((cell) => cell.map((t) => ({ ...t, value: t.value + 0.03 * t.place }))),
    }));
    expect(techniqueModel(steady).value).not.toBeNull();
    expect(techniqueModel(steady, true)).toMatchObject({
      value: null,
      why: expect.stringMatching(/exactly alike/),
    });
  });

  // Student's t has no denominator there either (t.test of R: "data are essentially constant").
  it("refuses skaters who skated once each and all differ by exactly as much, whatever binary rounding leaves", () => {
    const levels = [4.61, 4.83, 4.75, 4.62, 4.84, 4.36, 4.44];
    const model = techniqueModel(cells(levels.map((a): [number[], number[]] => [[a], [a + 0.02]])));
    expect(model).toMatchObject({ value: null, why: expect.stringMatching(/exactly the same difference/) });
    const unlike = levels.map((a, i): [number[], number[]] => [[a], [a + (i === 3 ? 0.03 : 0.02)]]);
    expect(techniqueModel(cells(unlike)).value).toBeCloseTo(0.15 / 7, 9);
    // Nor does somebody who skated only one technique say anything of a difference.
    const lone: [number[], number[]] = [[4.5], []];
    const more = levels.map((a): [number[], number[]] => [[a], [a + 0.02]]);
    expect(techniqueModel(cells([lone, ...more])).value).toBeNull();
  });

  it("names what its degrees of freedom are", () => {
    const c = compareTechniques({
      rows: pairedRows(
        [
          [5.1, 5.13],
          [5.4, 5.38],
          [5.2, 5.26],
        ],
        [
          [4.9, 4.95],
          [5.1, 5.12],
          [5.15, 5.1],
        ],
      ),
      ...{ a: "a", b: "b", quantity: "time_s", worthwhile: null },
    });
    // Six cells, three skaters, one difference of techniques.
    const row = numberRows(c).find((r) => r.label === "Mixed model on every trial");
    expect(row?.text).toMatch(/, 2 degrees of freedom \(cells minus skaters minus 1: containment\), p /);
  });
});

describe("how much of the technique difference was skated", () => {
  const technique = (id: string, asked: Study["techniques"][number]["asked"]) => ({ id, name: id, asked });
  function check(a: { min?: number; max?: number } | null, b: { min?: number; max?: number } | null) {
    const quantity = "touchdown_to_track_midline_m" as const;
    const of = (band: typeof a) => (band ? { quantity, ...band } : null);
    return {
      quantity,
      a: { technique: technique("close", []), band: of(a) },
      b: { technique: technique("open", []), band: of(b) },
      trials: [],
    } satisfies TechniqueCheck;
  }
  const skated = (a: number[], b: number[]) =>
    compareTechniques({
      rows: pairedRows(
        a.map((v) => [v]),
        b.map((v) => [v]),
      ),
      a: "a",
      b: "b",
      quantity: "touchdown_to_track_midline_m",
      worthwhile: null,
    });

  // Bands 0.12 and 0.18: a gap of 0.06. Differences 0.03, 0.05, 0.04: mean 0.04 = 2/3 of it, SD 0.01,
  // t(2) 4.303 (any table): ± 0.0248, 0.0152 to 0.0648.
  it("holds the measured difference against the gap between the bands", () => {
    const found = achieved(
      check({ max: 0.12 }, { min: 0.18 }),
      skated([0.1, 0.11, 0.12], [0.13, 0.16, 0.16]),
    );
    if (found.value === null || found.ci95.value === null) throw new Error("no share");
    expect(found.asked).toBeCloseTo(0.06, 12);
    expect(found.value).toBeCloseTo(2 / 3, 9);
    expect(found.ci95.value[0]).toBeCloseTo(0.0152 / 0.06, 2);
    expect(found.ci95.value[1]).toBeCloseTo(0.0648 / 0.06, 2);
    expect(plain(found.words)).toMatch(
      /at least 0\.06 m.*they differed by 0\.040 ± 0\.025 m.*67 % of it, though the interval reaches/,
    );
  });

  it("works the other way round, and says who fell short and who went the wrong way", () => {
    const found = achieved(check({ min: 0.18 }, { max: 0.12 }), skated([0.3, 0.31, 0.2], [0.1, 0.12, 0.15]));
    if (found.value === null) throw new Error(found.why);
    expect(found.short).toEqual(["S3"]);
    expect(found.asked).toBeCloseTo(-0.06, 12);
    const wrong = achieved(check({ min: 0.18 }, { max: 0.12 }), skated([0.1, 0.1], [0.2, 0.22]));
    expect(wrong.value !== null && plain(wrong.words)).toMatch(/the wrong way/);
  });

  it("says when no difference was asked for, or none is measured", () => {
    const some = skated([0.1], [0.2]);
    expect(achieved(check(null, { min: 0.18 }), some).value).toBeNull();
    expect(achieved(check({ max: 0.2 }, { min: 0.18 }), some).value).toBeNull();
    expect(achieved(check({ max: 0.1 }, { min: 0.18 }), skated([], [])).value).toBeNull();
    expect(achieved(check({ max: 0.12 }, { min: 0.18 }), some)).toMatchObject({
      words: [expect.stringMatching(/one skater.*no less than was asked/)],
    });
  });
});

describe("more than two techniques in words", () => {
  const rows = (by: readonly number[]): CompareRow[] =>
    Array.from({ length: 7 }, (_, s) =>
      by.map((d, t) => ({
        skater: `S${s}`,
        technique: "ABC"[t]!,
        order: 3 * s + t + 1,
        // An uneven response of each skater, so that there is scatter.
        value: 4.5 + s / 10 + d + (((s * 5 + t * 3) % 7) - 3) / 200,
        valid: true,
      })),
    ).flat();

  it("names the pairs that stand after Holm, and none else", () => {
    const words = plain(manyWords(manyTechniques(rows([0, 0, -0.2]), ["A", "B", "C"]), "time_s"));
    expect(words).toMatch(/differs more than chance would/);
    expect(words).toMatch(/C 0\.\d+ ± 0\.\d+ s faster than A.*C 0\.\d+ ± 0\.\d+ s faster than B/);
    expect(words).not.toContain("than A (adjusted p = 1");
    expect(plain(manyWords(manyTechniques(rows([0, 0, 0]), ["A", "B", "C"]), "time_s"))).toMatch(
      /No pair of them can be told apart once all 3 pairs/,
    );
  });
});

describe("nothing is NaN, whatever is missing", () => {
  it("in 250 studies with holes, ties, voids, one skater, all equal", () => {
    const random = seeded(11);
    for (let i = 0; i < 250; i++) {
      const skaters = Math.floor(random() * 5);
      const coarse = [0, 0.1, 0.01][Math.floor(random() * 3)]!;
      const rows: CompareRow[] = [];
      for (let s = 0; s < skaters; s++) {
        for (const technique of ["a", "b", "c"]) {
          for (let k = 0; k < Math.floor(random() * 4); k++) {
            const value = 4.5 + coarse * Math.round(random() * 5);
            rows.push({
              skater: `S${s}`,
              technique,
              order: rows.length + 1,
              value: random() < 0.1 ? null : value,
              valid: random() > 0.1,
              notAsAsked: random() < 0.1,
            });
          }
        }
      }
      const c = compareTechniques({
        rows,
        a: "a",
        b: "b",
        quantity: "time_s",
        worthwhile: random() < 0.5 ? 0.04 : null,
      });
      const many = manyTechniques(rows, ["a", "b", "c"]);
      const words = plainWords(c);
      const said = [
        words.headline,
        ...words.support,
        ...c.warnings.map((w) => w.text),
        ...numberRows(c).map((r) => r.text),
        ...manyWords(many, "time_s"),
      ].join("\n");
      expect(said).not.toMatch(/NaN|Infinity|undefined|null/);
      // JSON turns NaN into a bare null; every null of ours stands beside its why.
      const json = JSON.stringify([compareJson(c), many]);
      expect(json.replaceAll('"value":null,"why"', "")).not.toContain("null");
    }
  });
});
