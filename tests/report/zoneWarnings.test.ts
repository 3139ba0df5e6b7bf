import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { studyAnswer } from "../../src/report/studyAnswer.ts";
import { trialInput } from "../../src/study/trialInput.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";
import { demoStudy } from "../demo/demoFiles.ts";

const DEMO = demoStudy();
const readingOf: ReadingOf = (trial) => {
  try {
    return { ok: true, value: measureTrial(trialInput(DEMO, trial)) };
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    return { ok: false, error };
  }
};
const codes = (quantity: "time_s" | "stride_length_m") =>
  studyAnswer(DEMO, quantity, "names", readingOf)?.worthKnowing ?? [];

describe("trials measured over another part of the lane", () => {
  // sample-clips/make/people.ts: Aino's second open recovery is filmed from the bench between 8.6 and 27.4 m, with ice
  // points from 12 to 24 m; Tove's second close one between 7.5 and 24.5 m; the others over the whole 30 m.
  it("are named with where their strides lie, where a measured quantity is compared", () => {
    const [said] = codes("stride_length_m").filter((w) => w.code === "other-part-of-the-lane");
    expect(said?.text).toMatch(/Aino, open recovery, trial 2, from 1\d to 2\d m/);
    expect(said?.text).not.toMatch(/trial 1/);
  });

  it("do not matter to times", () => {
    expect(codes("time_s").map((w) => w.code)).not.toContain("other-part-of-the-lane");
  });
});
