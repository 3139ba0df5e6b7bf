import { expect, it } from "vitest";
import { makeRunOrder } from "../../app/commands/plan/makeRunOrder.ts";
import { studyScatter } from "../../src/compare/studyScatter.ts";
import type { Study } from "../../src/study/types.ts";
import { bareStudy } from "../app/fakeStudy.ts";
import { near } from "../helpers/near.ts";
import reference from "../reference/statistics.json" with { type: "json" };

const STUDY: Study = {
  ...bareStudy().study,
  techniques: ["a", "b"].map((id) => ({ id, name: id, asked: [] })),
  skaters: Array.from({ length: 8 }, (_, i) => ({
    id: `S${i + 1}`,
    name: `S${i + 1}`,
    code: `${i}`,
    body: {},
  })),
  trials: [],
  compare: { a: "a", b: "b" },
};

it("reckons with the study's own scatter where it has repeats", () => {
  // docs/references.md 2.10 [computed: R]: within-trial SD 0.022912878 s; skater x technique variance 0.000270138889.
  const { skater, tech, time, place } = reference.nested;
  const trials = time.map((t, i) => ({
    id: `${i}`,
    skater: skater[i]!,
    technique: tech[i]!,
    repeat: 1 + (i % 3),
    order: place[i]!,
    time: t,
    valid: true,
    speedFactor: 1,
  }));
  const found = studyScatter({ ...STUDY, trials });
  expect(found.from).toBe("this study");
  near(found.typicalError, 0.022912878, 1e-8);
  near(found.response, Math.sqrt(2 * 0.000270138889), 1e-6);
});

it("takes published scatter for a study without times or with one technique", () => {
  expect(studyScatter(STUDY)).toEqual({ typicalError: 0.04, response: 0.04, from: "elsewhere" });
  expect(studyScatter({ ...STUDY, techniques: [] }).from).toBe("elsewhere");
});

it("keeps the seed and the repeats that a run order was made from", () => {
  const whole = makeRunOrder.run({ study: STUDY, marks: {} }, { repeats: 2, seed: 77 });
  expect(whole.study.runOrder).toEqual({ seed: 77, repeats: 2 });
  expect(whole.study.trials).toHaveLength(32);
  const again = makeRunOrder.run({ study: STUDY, marks: {} }, { repeats: 2, seed: 77 });
  expect(again).toEqual(whole);
});
