import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { Stride } from "../../src/kinematics/types.ts";
import type { StrideQuantity } from "../../src/quantities/catalogue.ts";
import type { Reading } from "../../src/reading.ts";
import { trialInput } from "../../src/trials/trialInput.ts";
import { demoStudy, type Truth, type TruthStride, truthOfTrial, withoutNoise } from "./demoFiles.ts";

// Every expected value here is [computed: the generator's own geometry, sample-clips/make/truth.ts], which shares
// nothing with src: the world's points in three dimensions, by the definitions, before any camera.

const whole = demoStudy();
const trials = Object.keys(whole.marks);

interface Pair {
  readonly trial: string;
  readonly stride: Stride;
  readonly truth: TruthStride;
  /** It has the neighbours that the definitions name, and all their frames are the events' own. */
  readonly whole: boolean;
}

/** The stride of the truth whose blade-off is in this frame, or next to it where the eye slipped. */
function trueStride(truth: Truth, stride: Stride): TruthStride {
  const off = truth.events.find(
    (e) =>
      e.event === "blade_off" && e.side === stride.side && Math.abs(e.frame - stride.blade_off_frame) <= 1,
  );
  const found = truth.strides.find((s) => s.stride === off?.stride);
  if (!found) throw new Error(`no stride leaves the ice in frame ${stride.blade_off_frame} of ${truth.clip}`);
  return found;
}

function pairsOf(trial: string, noisy: boolean): Pair[] {
  const truth = truthOfTrial(whole, trial);
  const marks = noisy ? whole.marks[trial]! : withoutNoise(whole.marks[trial]!, truth);
  const { strides } = measureTrial(trialInput({ study: whole.study, marks: { [trial]: marks } }, trial));
  const picked = (event: string, side: string, frame: number | null) =>
    truth.events.some((e) => e.event === event && e.side === side && e.frame === frame);
  return strides.map((stride, i) => {
    const around = [strides[i - 1], stride, strides[i + 1]];
    const offs = around.every((s) => s && picked("blade_off", s.side, s.blade_off_frame));
    const on = picked("blade_on", stride.side, stride.blade_on_frame);
    return { trial, stride, truth: trueStride(truth, stride), whole: offs && on };
  });
}

const atEvent = (truth: TruthStride, quantity: StrideQuantity): number | null => {
  const value = truth[quantity];
  return value !== null && typeof value === "object" ? value.at_event : value;
};
const measured = (reading: Reading) => (reading.value === null ? null : reading);

describe("the demo study's marks, measured", () => {
  const pairs = trials.flatMap((trial) => pairsOf(trial, true));

  it("has twelve marked trials and a hundred strides", () => {
    expect(trials).toHaveLength(12);
    expect(pairs.length).toBeGreaterThanOrEqual(100);
  });

  it.each([
    ["stride_width_m", 95],
    ["blade_separation_m", 95],
    ["half_width_m", 90],
    ["touchdown_to_midline_m", 90],
    ["touchdown_to_track_midline_m", 95],
    ["recovery_to_midline_m", 90],
    ["stride_length_m", 20],
    ["stride_rate_hz", 95],
    ["recovery_time_s", 95],
  ] as const)(
    "%s is within its own 95 % interval of the truth at the event in 90 % of strides or more",
    (quantity, atLeast) => {
      const both = pairs.flatMap(({ stride, truth }) => {
        const reading = measured(stride.readings[quantity]);
        const exact = atEvent(truth, quantity);
        return reading && exact !== null ? [{ ...reading, exact }] : [];
      });
      expect(both.length).toBeGreaterThanOrEqual(atLeast);
      const within = both.filter((b) => Math.abs(b.value - b.exact) <= b.u95);
      expect(within.length / both.length).toBeGreaterThanOrEqual(0.9);
    },
  );

  it("tells open from close recovery by the trial's mean, and sees the trial that was neither", () => {
    const mean = (trial: string) => {
      const readings = measureTrial(trialInput(whole, trial)).trial.touchdown_to_track_midline_m;
      if ("value" in readings) throw new Error(readings.why);
      return readings;
    };
    for (const trial of trials) {
      const { mean: value, u95 } = mean(trial);
      const { technique } = truthOfTrial(whole, trial).shows;
      if (trial === "wren-close-1") {
        // Made to land around 0.16 m: over the 0.12 m that close recovery allows.
        expect(value - u95).toBeGreaterThan(0.12);
        expect(value + u95).toBeLessThan(0.2);
      } else if (technique === "close") expect(value + u95).toBeLessThan(0.12);
      else expect(value - u95).toBeGreaterThan(0.18);
    }
  });
});

describe("the same marks without noise", () => {
  it.each(["stride_width_m", "blade_separation_m", "touchdown_to_track_midline_m"] as const)(
    "%s at the marked frames is the truth's to a millimetre where both blade ends are on the ice",
    (quantity) => {
      let compared = 0;
      for (const trial of trials) {
        for (const { stride, truth, whole: asDefined } of pairsOf(trial, false)) {
          const reading = measured(stride.readings[quantity]);
          const exact = truth[quantity];
          if (
            !asDefined ||
            !truth.both_ends_on_ice ||
            !reading ||
            exact === null ||
            typeof exact === "number"
          ) {
            continue;
          }
          expect(
            Math.abs(reading.atFrame! - exact.at_frame),
            `${trial} stride ${stride.stride}`,
          ).toBeLessThan(0.001);
          compared++;
        }
      }
      expect(compared).toBeGreaterThanOrEqual(15);
    },
  );
});
