import { describe, expect, it } from "vitest";
import type { TrialMean, TrialReadings } from "../../src/kinematics/types.ts";
import type { Band } from "../../src/study/types.ts";
import { asAsked } from "../../src/trials/asAsked.ts";

const none: TrialMean = { value: null, why: "No blade-off is marked." };

function trial(means: Partial<TrialReadings["trial"]>): TrialReadings["trial"] {
  return {
    stride_width_m: none,
    blade_separation_m: none,
    half_width_m: none,
    recovery_to_midline_m: none,
    touchdown_to_midline_m: none,
    touchdown_to_track_midline_m: none,
    stride_rate_hz: none,
    stride_length_m: none,
    recovery_time_s: none,
    arm_swing_direction_deg: none,
    arm_swing_angle_deg: none,
    ...means,
  };
}

const mean = (value: number, u95: number): TrialMean => ({
  mean: value,
  u95,
  sd: null,
  n: 4,
  left: { value: null, why: "not asked for here" },
  right: { value: null, why: "not asked for here" },
  leftMinusRight: { value: null, why: "not asked for here" },
});
const technique = (...asked: Band[]) => ({ id: "t", name: "close recovery", asked });
const under: Band = { quantity: "touchdown_to_track_midline_m", max: 0.1 };
const between: Band = { quantity: "stride_width_m", min: 0.8, max: 1.2 };

describe("asAsked", () => {
  it.each([
    [0.05, 0.02, "yes"],
    [0.05, 0.06, "can't tell"], // reaches to 0.11
    [0.15, 0.06, "can't tell"], // reaches down to 0.09
    [0.15, 0.04, "no"],
    [-0.4, 0.04, "yes"], // crossing the midline is under 0.10 too
  ])("a mean of %f ± %f against under 0.10 m: %s", (value, u95, answer) => {
    expect(asAsked(technique(under), trial({ touchdown_to_track_midline_m: mean(value, u95) })).answer).toBe(
      answer,
    );
  });

  it("is yes only when every band is, and no as soon as one is", () => {
    const answer = (width: TrialMean, touch: TrialMean) =>
      asAsked(
        technique(under, between),
        trial({ stride_width_m: width, touchdown_to_track_midline_m: touch }),
      ).answer;
    expect(answer(mean(1, 0.05), mean(0.05, 0.01))).toBe("yes");
    expect(answer(mean(1.4, 0.05), mean(0.05, 0.01))).toBe("no");
    expect(answer(mean(0.6, 0.05), none)).toBe("no");
    expect(answer(mean(1, 0.05), none)).toBe("can't tell");
    expect(answer(mean(1.19, 0.05), mean(0.05, 0.01))).toBe("can't tell");
  });

  it.each([
    [{ quantity: "stride_width_m" } as Band, /stride width is empty.*no edge/],
    [{ quantity: "stride_width_m", min: 1.2, max: 0.8 } as Band, /stride width is empty.*above its upper/],
  ])("can't tell by a band that asks for nothing: %o", (empty, why) => {
    const alone = asAsked(technique(empty), trial({ stride_width_m: mean(1, 0.05) }));
    expect(alone).toMatchObject({ answer: "can't tell", why: expect.stringMatching(why) });
    expect(alone.bands[0]?.mean).toMatchObject({ mean: 1 });
    const beside = (touch: number) =>
      asAsked(
        technique(under, empty),
        trial({ stride_width_m: mean(1, 0.05), touchdown_to_track_midline_m: mean(touch, 0.01) }),
      ).answer;
    expect(beside(0.05)).toBe("can't tell");
    expect(beside(0.2)).toBe("no");
  });

  it("passes on why a mean could not be measured, and says when nothing was asked", () => {
    expect(asAsked(technique(under), trial({})).why).toBe("No blade-off is marked.");
    expect(asAsked(technique(), trial({})).why).toContain("no band");
  });
});
