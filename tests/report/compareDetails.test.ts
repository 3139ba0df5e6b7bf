import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { TrialReadings } from "../../src/kinematics/types.ts";
import { compareDetails } from "../../src/report/compareDetails.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";
import { trialInput } from "../../src/trials/trialInput.ts";
import { demo } from "../helpers/demoReadings.ts";
import { near } from "../helpers/near.ts";

const whole = demo();

/** Touchdown and stride width as given, by trial; nothing else can be measured. */
function given(values: Readonly<Record<string, readonly [touchdown: number, width: number]>>): ReadingOf {
  const mean = (value: number) => ({ mean: value, sd: 0.01, u95: 0.01, n: 6, left: value, right: value });
  const none = { value: null, why: "not given" };
  return (trial) => {
    const [touchdown, width] = values[trial] ?? [];
    if (touchdown === undefined || width === undefined)
      return { ok: false, error: new MeasureError("no-marks", "none", "Nothing is marked.") };
    const value = {
      strides: [],
      scale: null,
      runner: none,
      trial: {
        touchdown_to_track_midline_m: mean(touchdown),
        stride_width_m: mean(width),
        recovery_to_midline_m: none,
        stride_rate_hz: none,
        arm_swing_direction_deg: none,
        arm_swing_angle_deg: none,
      },
    } as unknown as TrialReadings;
    return { ok: true, value };
  };
}

describe("what stands behind the demo's comparison", () => {
  it("names the clip that does not fit its time and does not reckon with it", () => {
    const readingOf = given({
      "aino-close-1": [0.04, 1.1],
      "aino-open-1": [0.27, 1.15],
      "bea-close-1": [0.05, 1.0],
      "bea-close-2": [0.27, 1.6],
      "bea-open-1": [0.25, 1.08],
      "tove-close-1": [0.03, 1.2],
      "tove-open-1": [0.24, 1.23],
    });
    const details = compareDetails(whole, "time_s", "names", readingOf)!;
    // README of the sample clips: bea-close-2 shows somebody else.
    expect(details.contradictions).toHaveLength(1);
    expect(details.contradictions[0]).toMatch(
      /^Bea, close recovery, trial 2: .*4\.32.*4\.88 s.*Nothing measured on that clip is counted/,
    );
    // By hand without it: 0.23, 0.20, 0.21 -> mean 0.21333; asked for 0.06.
    if (details.achieved.value === null) throw new Error(details.achieved.why);
    near(details.achieved.skated, 0.64 / 3, 1e-9);
    near(details.achieved.asked, 0.06, 1e-9);
    // Through means of width and time: differences in width 0.05, 0.08, 0.03; in time (first trials' own)
    // 4.47 - 4.59 = -0.12, 4.68 - 4.88 = -0.20, 4.31 - 4.35 = -0.04: slope = sum(w t) / sum(w w).
    const width = details.within.find((w) => w.measure === "stride_width_m")!;
    near(width.line.value, (0.05 * -0.12 + 0.08 * -0.2 + 0.03 * -0.04) / (0.0025 + 0.0064 + 0.0009), 1e-6);
    expect(details.within.find((w) => w.measure === "stride_rate_hz")?.line.value).toBeNull();
    expect(details.many).toBeNull();
  });

  it("leaves trials out that are to be left out", () => {
    const readingOf = given({ "aino-close-1": [0.04, 1.1], "aino-open-1": [0.27, 1.15] });
    const all = compareDetails(whole, "time_s", "names", readingOf)!;
    expect(all.achieved.value).not.toBeNull();
    const none = compareDetails(whole, "time_s", "names", readingOf, new Set(["aino-open-1"]))!;
    expect(none.achieved.value).toBeNull();
  });

  it("has no NaN as the demo is really marked, and nothing to say of a study without techniques", () => {
    const readings = new Map<string, ReturnType<ReadingOf>>();
    const readingOf: ReadingOf = (trial) => {
      let reading = readings.get(trial);
      if (!reading) {
        try {
          reading = { ok: true, value: measureTrial(trialInput(whole, trial)) };
        } catch (error) {
          if (!(error instanceof MeasureError)) throw error;
          reading = { ok: false, error };
        }
        readings.set(trial, reading);
      }
      return reading;
    };
    const details = compareDetails(whole, "time_s", "codes", readingOf)!;
    expect(details.contradictions[0]).toMatch(/^S2, close recovery/);
    expect(JSON.stringify({ ...details, many: 0 }).replaceAll('"value":null,"why"', "")).not.toMatch(
      /:null|NaN/,
    );
    const bare = { ...whole, study: { ...whole.study, techniques: [] } };
    expect(compareDetails(bare, "time_s", "names", readingOf)).toBeNull();
  });
});
