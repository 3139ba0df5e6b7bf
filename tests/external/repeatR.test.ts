import { join } from "node:path";
import { describe, expect } from "vitest";
import type { Trial } from "../../src/study/types.ts";
import { type MadeUpStudy, madeUpStudy } from "../helpers/madeUpStudy.ts";
import { itWithR, repeatedInR, timedByClips } from "../helpers/repeatedInR.ts";
import { sharedFolder } from "../helpers/studyFolder.ts";
import { studyOfKind } from "../helpers/studyKinds.ts";

// R writes spaces of a path otherwise.
const folder = join(sharedFolder(), "my tables");

function repeated(
  kind: string | MadeUpStudy,
  change: (name: string, content: string) => string = (_, c) => c,
  byClip: (trial: Trial) => number | null = () => null,
) {
  const { whole, readingOf } = typeof kind === "string" ? studyOfKind(kind) : kind;
  return repeatedInR(folder, { whole: timedByClips(whole, byClip), readingOf }, change);
}

describe("repeat.R", () => {
  for (const kind of [
    "demo",
    "missing cells",
    "one skater",
    "two skaters",
    "four techniques",
    "twenty skaters",
    "tied clock",
  ])
    itWithR(`redoes the numbers of a study: ${kind}`, () => {
      const { status, said } = repeated(kind);
      expect(said).toMatch(/numbers redone: \d{3,} /);
      expect(status, said).toBe(0);
    });

  // 3005: three repeats exactly alike; 1007: one trial of each, and all skaters differ by exactly as much.
  for (const seed of [3005, 1007])
    itWithR(`redoes the numbers of times that leave no scatter: made-up study ${seed}`, () => {
      const { status, said } = repeated(madeUpStudy(seed, false));
      expect(said).toMatch(/numbers redone: \d{2,} /);
      expect(status, said).toBe(0);
    });

  // Clips of one rate; of two; only one technique's, so that no test holds; three techniques' of four.
  for (const [kind, what, rateOf] of [
    ["clear", "all by clips alike", () => 60],
    ["missing cells", "by clips of two rates and photocells", (t: Trial) => [30, 240, null][t.order % 3]!],
    ["opposite", "one technique's by clips", (t: Trial) => (t.technique === "t1" ? 30 : null)],
    [
      "twenty skaters",
      "a few more of one technique's by clips",
      (t: Trial) => (t.id === "s3-1-1" ? 30 : null),
    ],
    ["three skaters", "second trials by clips", (t: Trial) => (t.repeat === 2 ? 60 : null)],
    ["four techniques", "all by clips of two rates", (t: Trial) => (t.repeat === 2 ? 60 : 30)],
    ["four techniques", "one technique's by clips", (t: Trial) => (t.technique === "t2" ? 60 : null)],
    ["order unbalanced", "one skater's by clips", (t: Trial) => (t.skater === "s2" ? 30 : null)],
  ] as const)
    itWithR(`redoes the numbers of times ${what}: ${kind}`, () => {
      const { status, said } = repeated(kind, undefined, rateOf);
      expect(said).toMatch(/numbers redone: \d{3,} /);
      expect(status, said).toBe(0);
    });

  itWithR("tells the ± of a time by a clip that was changed", () => {
    const { status, said } = repeated(
      "clear",
      (name, content) => (name === "trials.csv" ? content.replace(/,clip,0\.0\d/, ",clip,0.09") : content),
      () => 60,
    );
    expect(status, said).toBe(1);
    expect(said).toContain("differs:");
  });

  const swapped = (table: string, from: RegExp, to: string) => {
    const { status, said } = repeated("three skaters", (name, content) =>
      name === table ? content.replace(from, to) : content,
    );
    return { status, said };
  };
  for (const [what, table, from, to] of [
    ["a time", "trials.csv", /,4\.(\d)/, ",5.$1"],
    ["a verdict", "differences.csv", /,faster,|,can't tell,/, ",slower,"],
    ["what may be said", "comparisons.csv", /,(these|open|settled),/, ",depends,"],
    ["a typical error", "repeatability.csv", /(time_s,[^,]*,\d+,\d+,0\.0)\d/, "$19"],
  ] as const)
    itWithR(`tells ${what} that was changed`, () => {
      const { status, said } = swapped(table, from, to);
      expect(status, said).toBe(1);
      expect(said).toContain("differs:");
    });
});
