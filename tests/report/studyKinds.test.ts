import { describe, expect, it } from "vitest";
import { studyReport } from "../../src/report/studyReport.ts";
import { average, squares } from "../helpers/plainStatistics.ts";
import { STUDY_KINDS, studyOfKind } from "../helpers/studyKinds.ts";
import { backed } from "./words/backed.ts";

// The kinds of study a report must say the right thing of; every sentence is held against plain statistics, as those of
// made-up studies are.

describe("the report of a study that is", () => {
  it.each(STUDY_KINDS.filter((kind) => kind !== "one technique"))("%s says what its times carry", (kind) => {
    backed(studyOfKind(kind));
  });

  it("of one technique gives its mean, its best and how well it repeats", () => {
    const { whole, readingOf } = studyOfKind("one technique");
    const { alone } = studyReport(whole, "names", readingOf);
    const times = whole.study.skaters.map((s) =>
      whole.study.trials.filter((t) => t.skater === s.id).map((t) => t.time!),
    );
    const best = Math.min(...times.flat());
    const who = whole.study.skaters[times.findIndex((own) => own.includes(best))]!.name;
    const said =
      /^Nothing is compared yet: close recovery took ([\d.]+).s on average over five skaters; the best ([\d.]+).s, by (\w+)\.$/.exec(
        alone!.headline,
      )!;
    expect(Math.abs(Number(said[1]) - average(times.map(average)))).toBeLessThanOrEqual(0.00051);
    expect([Number(said[2]), said[3]]).toEqual([best, who]);
    // Pooled SD of the repeats; two single trials differ by 1.96 √2 of it in 1 of 20 (Weir 2005).
    const error = Math.sqrt(
      times.reduce((sum, own) => sum + squares(own), 0) / (times.flat().length - times.length),
    );
    const tied = whole.study.trials.map((t) => ({ ...t, time: t.time === null ? null : 4.53 }));
    const alike = studyReport({ ...whole, study: { ...whole.study, trials: tied } }, "names", readingOf);
    expect(alike.alone!.support[0]).toMatch(/^The repeats are all exactly alike/);
    const numbers = /by ([\d.]+).s .* less than ([\d.]+).s apart/.exec(alone!.support[0]!)!;
    expect(Math.abs(Number(numbers[1]) - error)).toBeLessThanOrEqual(0.00051);
    expect(Math.abs(Number(numbers[2]) - 1.96 * Math.SQRT2 * error)).toBeLessThanOrEqual(0.00051);
  });
});
