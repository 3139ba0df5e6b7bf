import { describe, expect, it } from "vitest";
import { shownAnswer } from "../../app/places/compare/shownAnswer.ts";
import { compareTechniques } from "../../src/compare/compareTechniques.ts";
import { MeasureError } from "../../src/errors.ts";
import type { TrialReadings } from "../../src/kinematics/types.ts";
import { eachSkaterLabel } from "../../src/report/figures/eachSkaterLabel.ts";
import { differenceDomain, trialDomain } from "../../src/report/figures/eachSkaterRows.ts";
import { meanText, techniqueCheckLabel } from "../../src/report/figures/techniqueCheckFigure.ts";
import { studyAnswer } from "../../src/report/studyAnswer.ts";
import type { Study, Trial } from "../../src/study/types.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";
import { bareStudy } from "../app/fakeStudy.ts";
import { pairedRows } from "../helpers/pairedRows.ts";

const compared = (a: number[][], b: number[][], worthwhile: number | null) =>
  compareTechniques({ rows: pairedRows(a, b), a: "a", b: "b", quantity: "time_s", worthwhile });

describe("the picture of each skater", () => {
  it("reaches over every mean, worthwhile band and interval", () => {
    const c = compared(
      [
        [5, 5.02],
        [4.6, 4.58],
      ],
      [
        [4.8, 4.82],
        [4.7, 4.72],
      ],
      0.1,
    );
    const [fastest, slowest] = trialDomain(c);
    expect(fastest).toBeLessThan(4.58);
    expect(slowest).toBeGreaterThan(5.02);
    const [low, high] = differenceDomain(c);
    // Differences by hand: 4.81 − 5.01 and 4.71 − 4.59; bands ± 0.1.
    // Pairs 0.02 apart, ABBA: squares 4 x 0.0002, of which a steady change of 0.002 a place takes 0.02² / 10; 3 degrees
    // of freedom are left. t(1 - 0.025/2; 3) = 4.1765 (R: qt), shared by two skaters; √(1/2 + 1/2) = 1.
    const u95 = 4.1765 * Math.sqrt((0.0008 - 0.00004) / 3);
    expect(c.pairs[0]?.u95.value).toBeCloseTo(u95, 4);
    expect(low).toBeLessThan(-0.2 - u95);
    expect(high).toBeGreaterThan(0.12 + u95);
  });

  it("holds an interval that is wider than anything else, and zero", () => {
    const [low, high] = differenceDomain(compared([[4, 6]], [[5, 5.1]], 0.01));
    // Difference 5.05 − 5; pooled SD √((2 + 0.005)/2) = 1.0012; t(2) = 4.303: u95 = 4.308.
    expect(low).toBeLessThan(0.05 - 4.308);
    expect(high).toBeGreaterThan(0.05 + 4.308);
  });

  it("lets one skater's interval run out rather than press all others together", () => {
    const a = [4.6, 4.7, 4.8, 4.9, 5].map((v) => [v, v + 0.01]);
    const b = a.map((own, i) => own.map((v, k) => v - 0.1 + (i === 4 ? 0.4 * k : 0)));
    const [low, high] = differenceDomain(compared(a, b, 0.02));
    const c = compared(a, b, 0.02);
    // The fifth is judged by the own repeats: its interval is many times the others'.
    const widths = c.pairs.map((p) => p.u95.value!);
    expect(widths[4]!).toBeGreaterThan(10 * widths[0]!);
    expect(high - low).toBeLessThan(widths[4]!);
    for (const p of c.pairs.slice(0, 4)) {
      expect(low).toBeLessThan(p.difference - p.u95.value!);
      expect(high).toBeGreaterThan(p.difference + p.u95.value!);
    }
  });

  it("has some width where both means are the same and nothing is known of their scatter", () => {
    for (const domain of [trialDomain, differenceDomain]) {
      const [low, high] = domain(compared([[4.5]], [[4.5]], null));
      expect(high).toBeGreaterThan(low);
    }
  });

  it("says the same in words, with units", () => {
    const label = eachSkaterLabel(compared([[5, 5.02]], [[4.8, 4.82]], 0.04));
    expect(plain(label)).toContain("S1: a 5.01 s, b 4.81 s, difference −0.200 ±");
  });
});

/** Numbers hold to their unit by spaces that do not break; how wide they are is not the matter here. */
function plain(text: string): string {
  return text.replace(/\s/g, " ");
}

const TRIALS = ["aino", "bea"].flatMap((skater, s) =>
  ["close", "open"].flatMap((technique, t) =>
    [1, 2].map(
      (repeat): Trial => ({
        id: `${skater}-${technique}-${repeat}`,
        skater,
        technique,
        repeat,
        order: s + 4 * t + 2 * repeat,
        time: technique === "close" ? 4.6 + repeat / 50 : 4.4 + repeat / 50,
        valid: true,
        speedFactor: 1,
      }),
    ),
  ),
);

const STUDY: Study = {
  ...bareStudy().study,
  skaters: [
    { id: "aino", name: "Aino", code: "S1", body: {} },
    { id: "bea", name: "Bea", code: "S2", body: {} },
  ],
  techniques: [
    { id: "close", name: "close recovery", asked: [{ quantity: "touchdown_to_track_midline_m", max: 0.12 }] },
    { id: "open", name: "open recovery", asked: [{ quantity: "touchdown_to_track_midline_m", min: 0.18 }] },
  ],
  trials: TRIALS,
  clips: [],
  worthwhile: 0.04,
  compare: { a: "close", b: "open" },
};

/** Every trial's mean touchdown; those not named have no clip. */
function readings(means: Readonly<Record<string, number>>): ReadingOf {
  return (trial) => {
    const mean = means[trial];
    if (mean === undefined) {
      return { ok: false, error: new MeasureError("no-marks", "none", "Nothing is marked yet.") };
    }
    const touchdown = { mean, sd: 0.01, u95: 0.011, n: 6, left: mean, right: mean };
    const value = {
      strides: [],
      scale: null,
      runner: { value: null, why: "not marked" },
      trial: { touchdown_to_track_midline_m: touchdown },
    } as unknown as TrialReadings;
    return { ok: true, value };
  };
}

const answered = (means: Readonly<Record<string, number>>) => {
  const answer = studyAnswer({ study: STUDY, marks: {} }, "time_s", "names", readings(means));
  if (!answer) throw new Error("the study has two techniques");
  return answer;
};

describe("all trials, or without those not as asked", () => {
  it("leaves out the one that lies outside its band and keeps those nobody can judge", () => {
    const answer = answered({ "aino-close-1": 0.267, "aino-close-2": 0.04, "bea-open-1": 0.26 });
    const all = shownAnswer(answer, "all");
    const without = shownAnswer(answer, "without");
    expect(all.comparison.pairs.map((p) => [p.nA, p.nB])).toEqual([
      [2, 2],
      [2, 2],
    ]);
    expect(without.used).toBe("without");
    expect(without.comparison.pairs.map((p) => [p.nA, p.nB])).toEqual([
      [1, 2],
      [2, 2],
    ]);
    // Aino's mean with close recovery by hand: (4.62 + 4.64)/2, then 4.64 alone; with open 4.43.
    expect(all.comparison.pairs[0]?.difference).toBeCloseTo(4.43 - 4.63, 9);
    expect(without.comparison.pairs[0]?.difference).toBeCloseTo(4.43 - 4.64, 9);
    expect(without.words.headline).not.toBe(all.words.headline);
  });

  it("goes back to all trials when none is left to leave out", () => {
    expect(shownAnswer(answered({ "aino-close-1": 0.04 }), "without").used).toBe("all");
  });

  it("says that nobody can be compared when every trial of one technique is left out", () => {
    const wrong = { "aino-close-1": 0.3, "aino-close-2": 0.3, "bea-close-1": 0.3, "bea-close-2": 0.3 };
    const shown = shownAnswer(answered(wrong), "without");
    expect(shown.comparison.n).toBe(0);
    expect(shown.words.headline).toBe("Nobody can be compared yet.");
  });
});

describe("the technique check in words", () => {
  it("gives each trial's mean ± u95 with its unit, or why not", () => {
    const { check } = answered({ "aino-close-1": 0.267 });
    const of = (id: string) => check.trials.find((t) => t.trial.id === id)!;
    expect(plain(meanText(of("aino-close-1"), "m"))).toBe("0.267 ± 0.011 m");
    expect(meanText(of("bea-close-1"), "m")).toBe("No clip is linked, so nothing can be measured on it.");
    expect(plain(techniqueCheckLabel(check))).toContain(
      "Aino, close recovery, trial 1: 0.267 ± 0.011 m, as asked: no",
    );
  });
});
