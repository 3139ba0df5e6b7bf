import { describe, expect, it } from "vitest";
import type { TrialReadings } from "../../src/kinematics/types.ts";
import { countedReadings } from "../../src/trials/countedReadings.ts";
import { type ReadingOf, trialAsAsked } from "../../src/trials/techniqueCheck.ts";
import { demoStudy } from "../demo/demoFiles.ts";

const DEMO = demoStudy();
const value = { strides: [], trial: {} } as unknown as TrialReadings;
const anything: ReadingOf = () => ({ ok: true, value });

describe("readings that count", () => {
  it("are none for the clip that shows somebody else, with the reason, and stay for the others", () => {
    const counted = countedReadings(DEMO, anything);
    // README of the sample clips: the clip on Bea's second close recovery shows somebody else.
    const wrong = counted("bea-close-2");
    expect(wrong).toMatchObject({
      ok: false,
      error: {
        code: "clip-contradicts-time",
        coach: expect.stringMatching(/contradicts the photocells.*nothing measured on it counts/),
      },
    });
    expect(counted("bea-close-1")).toEqual({ ok: true, value });
    expect(counted("bea-close-2")).toBe(wrong);
  });

  it("leave the question open whether such a trial was as asked", () => {
    const trial = DEMO.study.trials.find((t) => t.id === "bea-close-2")!;
    const technique = DEMO.study.techniques.find((t) => t.id === trial.technique)!;
    const { answer, why } = trialAsAsked(trial, technique, countedReadings(DEMO, anything));
    expect(answer).toBe("can't tell");
    expect(why).toMatch(/may show another trial/);
  });
});
