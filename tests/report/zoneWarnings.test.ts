import { describe, expect, it } from "vitest";
import { compareDetails } from "../../src/report/compareDetails.ts";
import { zoneWarnings } from "../../src/report/zoneWarnings.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { demoStudy } from "../demo/demoFiles.ts";

const DEMO = demoStudy();
const readingOf = measuredOnce(DEMO);

describe("trials measured over another part of the lane", () => {
  // sample-clips/make/people.ts: Aino's second open recovery is filmed from the bench between 8.6 and 27.4 m, with ice
  // points from 12 to 24 m; Tove's second close one between 7.5 and 24.5 m; the others over the whole 30 m.
  it("are named with where their strides lie", () => {
    const said = compareDetails(DEMO, "time_s", "names", readingOf)?.unlike ?? [];
    expect(said).toHaveLength(1);
    expect(said[0]).toMatch(/Aino, open recovery, trial 2, from 1\d to 2\d m/);
    expect(said[0]).not.toMatch(/trial 1/);
  });

  it("are no matter where all cover about the same", () => {
    const whole = { ...DEMO.study, trials: DEMO.study.trials.filter((t) => t.repeat === 1) };
    expect(zoneWarnings(whole, whole.trials, "names", readingOf)).toEqual([]);
  });
});
