import { describe, expect, it } from "vitest";
import { comparedTechniques } from "../../src/compare/compareStudy.ts";
import type { TrialMean, TrialReadings } from "../../src/kinematics/types.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import type { CameraPlan } from "../../src/study/types.ts";
import { asAsked } from "../../src/trials/asAsked.ts";
import { bandFault } from "../../src/trials/bandFault.ts";
import { bandWorth } from "../../src/trials/bandWorth.ts";
import { offeredBands } from "../../src/trials/offeredBands.ts";
import { PRESET_QUESTIONS } from "../../src/trials/presetQuestions.ts";

const side = { value: null, why: "not asked for here" } as const;
const mean = (value: number, u95: number): TrialMean => ({
  ...{ mean: value, u95, sd: null, n: 4, left: side, right: side, leftMinusRight: side },
});
const direction = (value: number, u95: number) =>
  ({ arm_swing_direction_deg: mean(value, u95) }) as unknown as TrialReadings["trial"];

const trial = (id: string) => ({
  ...{ id, skater: "s", technique: "t", repeat: 1, order: 1, time: null, valid: true, speedFactor: 1 },
});
const measured = (...u95s: readonly number[]) => {
  const study = { ...newStudy(), trials: u95s.map((_, k) => trial(`t${k}`)) };
  const readingOf = (id: string) => ({
    ok: true as const,
    value: { trial: direction(20, u95s[Number(id.slice(1))]!) } as unknown as TrialReadings,
  });
  return { study, readingOf };
};

describe("bands of arms", () => {
  it.each([
    // 30° is a third of the quarter turn: by hand from mean ± u95.
    ["along", 12, 10, "yes"],
    ["along", 35, 10, "can't tell"],
    ["along", 75, 10, "no"],
    ["across", 75, 10, "yes"],
    ["across", 55, 10, "can't tell"],
    ["across", 12, 10, "no"],
    // Straight across to ± 12°: what lies beyond 90° is across too.
    ["across", 84, 12, "yes"],
    ["diagonal", 45, 10, "yes"],
  ] as const)("%s: a mean of %i° ± %i° is as asked: %s", (word, value, u95, answer) => {
    const band = offeredBands("arm_swing_direction_deg").find((b) => b.word.startsWith(word))!;
    const { word: _, ...edges } = band;
    const technique = {
      id: "t",
      name: word,
      asked: [{ quantity: "arm_swing_direction_deg" as const, ...edges }],
    };
    expect(asAsked(technique, direction(value, u95)).answer).toBe(answer);
  });
});

describe("what a band is worth here", () => {
  it("says how well the measured trials have it, and that a band of 20° can't be told by means to ± 12°", () => {
    const { study, readingOf } = measured(11, 12, 30);
    const worth = bandWorth(
      study,
      "t",
      { quantity: "arm_swing_direction_deg", min: 35, max: 55 },
      readingOf,
    )!;
    expect(worth.u95).toBe(12);
    expect(worth.words).toBe("A trial's mean is measured to about ± 12° (in 3 measured trials).");
    expect(worth.tooNarrow).toMatch(/^The band is 20° wide, and ± 12° takes up 24°: no trial could be shown/);
  });

  it("takes the technique's own trials: arms across are had worse from the front than arms along", () => {
    const { study, readingOf } = measured(4, 4, 14);
    const trials = study.trials.map((t, k) => ({ ...t, technique: k < 2 ? "along" : "across" }));
    const u95 = (technique: string) =>
      bandWorth({ ...study, trials }, technique, { quantity: "arm_swing_direction_deg", max: 30 }, readingOf)!
        .u95;
    expect([u95("along"), u95("across"), u95("diagonal")]).toEqual([4, 14, 4]);
  });

  it("reckons that no direction lies below 0° or above 90°", () => {
    const { study, readingOf } = measured(18);
    const worth = (band: { min?: number; max?: number }) =>
      bandWorth(study, "t", { quantity: "arm_swing_direction_deg", ...band }, readingOf)!.tooNarrow;
    // 10 ± 18° lies surely under 30°: an open edge asks for nothing.
    expect(worth({ max: 30 })).toBeNull();
    expect(worth({ max: 15 })).toMatch(/15° wide, and ± 18° takes up 18°/);
    expect(worth({ min: 50 })).toBeNull();
    expect(worth({ min: 75 })).toMatch(/15° wide/);
  });

  it("expects from one camera what docs/precision.md says where nothing is measured: ± 18° a swing, four to ± 9°", () => {
    const worth = bandWorth(newStudy(), "t", { quantity: "arm_swing_direction_deg", max: 30 }, () => null)!;
    expect(worth.u95).toBe(9);
    expect(worth.tooNarrow).toBeNull();
    expect(bandWorth(newStudy(), "t", { quantity: "stride_width_m", max: 1.2 }, () => null)).toBeNull();
  });

  const planned = (plan: Partial<CameraPlan> = {}) => ({
    ...newStudy(),
    lane: { ...newStudy().lane, distance: 30 },
    cameraPlan: {
      ...{ x: 35, y: 0, height: 3, aimX: 15, aimY: 0, hfovDeg: 65 },
      ...{ widthPx: 1920, heightPx: 1080, fps: 60, ...plan },
    },
  });

  it("takes widths from the camera that is planned, where the skater is in its picture", () => {
    const band = { quantity: "stride_width_m", min: 1, max: 1.02 } as const;
    const worth = bandWorth(planned(), "t", band, () => null)!;
    // docs/precision.md 1: 1.6 to 1.9 cm SD a stride at 20 m for marks to 1 px; the study states 1.5 px. Half of 95 % for four.
    expect(worth.u95).toBeGreaterThan(0.015);
    expect(worth.u95).toBeLessThan(0.03);
    expect(worth.tooNarrow).toMatch(/^The band is 0\.020.m wide/);
    // By hand: the camera looks down by atan(3 / 20) = 8.53°, its picture ends 19.70° below that (540 px of a focal length of
    // 960 / tan 32.5° = 1507 px), so feet are in it from 3 / tan 28.23° = 5.59 m away: up to 29.4 m.
    expect(worth.words).toMatch(/planned camera, between 0 and 29.m of the lane\.$/);
  });

  it.each([
    // The design: from the side the picture does not show where the hips are across the lane.
    ["recovery_to_midline_m", { x: 15, y: -13, height: 1.5, aimX: 15.1 }, /recovery to midline.*side.*hips/],
    // A camera that looks away from the lane sees nobody.
    ["stride_width_m", { aimX: 60 }, /stride width.*not wholly in the picture/],
    // 300 m away through a wide lens a pixel is 20 cm across: 300 / 1507 m.
    ["stride_width_m", { x: 330 }, /stride width.*a pixel covers too much/],
    ["arm_swing_angle_deg", { x: 330 }, /arm-swing angle.*Too far away/],
  ] as const)("promises no %s from a planned camera that would be refused: %o", (quantity, plan, why) => {
    const worth = bandWorth(planned(plan), "t", { quantity, min: 0, max: 0.01 }, () => null)!;
    expect(worth).toMatchObject({ u95: null, tooNarrow: null });
    expect(worth.words).toMatch(/^The planned camera would not measure /);
    expect(worth.words).toMatch(why);
  });
});

describe("questions to start from", () => {
  it.each(PRESET_QUESTIONS)(
    "$key: bands that can be judged, and the question names which is held against which",
    (p) => {
      const [a, b] = p.techniques.map((t, k) => ({ id: `t${k}`, ...t }));
      for (const { asked } of [a!, b!]) {
        expect(asked).toHaveLength(1);
        expect(bandFault(asked[0]!)).toBeNull();
      }
      const study = { ...newStudy(), question: p.question, techniques: [a!, b!] };
      const two = comparedTechniques(study)!;
      expect([two.a.name, two.b.name]).toEqual([a!.name, b!.name]);
    },
  );
});
