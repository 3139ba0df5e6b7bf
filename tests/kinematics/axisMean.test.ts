import { describe, expect, it } from "vitest";
import { besideOneAxis, folded } from "../../src/kinematics/arms/axisMean.ts";
import { meanOfArms } from "../../src/kinematics/quantities/armMeans.ts";
import { covariance, Sources, weightedSum } from "../../src/uncertainty/uncertain.ts";
import { seeded } from "../helpers/random.ts";

/*
 * Axial data: 178° and 2° are 4° apart. The mean axis is half the mean direction of the doubled angles (Mardia and Jupp
 * 2000, Directional Statistics, from memory; the closed forms below are worked out by hand).
 */

const axes = (...degrees: readonly number[]) => {
  const s = new Sources();
  return degrees.map((d) => s.add(d, 5));
};
const meanOf = (...degrees: readonly number[]) => {
  const beside = besideOneAxis(axes(...degrees));
  if (!beside) throw new Error("no axis");
  return weightedSum(beside.map((v) => [1 / beside.length, v]));
};

describe("the mean of one arm's directions", () => {
  it.each([
    [[10, 20, 30], 20],
    [[-10, -20, -30], 20],
    // Straight along, a little to either side: folded one by one it would be 5°.
    [[-5, 5, -5, 5], 0],
    // Straight across, past the end of the scale: folded one by one it would be 86°.
    [[86, 94], 90],
    [[86, -86], 90],
    [[80, -85, 92], 89],
    // The other way along the same axes, and whole turns.
    [[190, 20, -150], 20],
    [[368, 12 - 180], 10],
    [[175, 5], 0],
  ] as const)("of %j is %i°", (degrees, want) => {
    expect(Math.abs(meanOf(...degrees).value - want)).toBeLessThan(1e-9);
  });

  it("does not depend on which end of each axis is named, nor on the side", () => {
    const random = seeded(7);
    for (let k = 0; k < 200; k++) {
      const at = 360 * random();
      const degrees = Array.from({ length: 5 }, () => at + 40 * (random() - 0.5));
      const want = meanOf(...degrees).value;
      const turned = degrees.map((d) => d + 180 * Math.floor(4 * random() - 2));
      expect(Math.abs(meanOf(...turned).value - want)).toBeLessThan(1e-9);
      expect(Math.abs(meanOf(...degrees.map((d) => -d)).value - want)).toBeLessThan(1e-9);
      expect(want).toBeGreaterThanOrEqual(0);
      expect(want).toBeLessThanOrEqual(90);
    }
  });

  it("is sure to 1 / √n of one swing where they err by themselves, also across the wrap", () => {
    for (const degrees of [
      [10, 20, 30, 40],
      [88, -88, 85, 93],
    ]) {
      expect(meanOf(...degrees).u).toBeCloseTo(5 / Math.sqrt(4), 9);
    }
  });

  it("is refused where the swings have no axis in common", () => {
    expect(besideOneAxis(axes(0, 90))).toBeNull();
    expect(besideOneAxis(axes(5, 8, 3, 62))).toBeNull();
    expect(besideOneAxis(axes(5, 8, 3, 40))).not.toBeNull();
  });

  it("folding keeps the sign of errors: an error that turns both arms alike widens one and narrows the other", () => {
    const s = new Sources();
    const turned = s.add(0, 4);
    const [left, right] = [30, -30].map((at) =>
      folded(
        weightedSum([
          [1, s.add(at, 0)],
          [1, turned],
        ]),
      ),
    );
    expect([left!.value, right!.value]).toEqual([30, 30]);
    expect(covariance(left!, right!)).toBeCloseTo(-16, 9);
  });
});

describe("the mean of both arms' directions", () => {
  const swing = (arm: "left" | "right", s: Sources, degrees: number) => ({
    arm,
    stride: arm,
    outcome: { value: s.add(degrees, 5) },
  });

  it("is of how far each swings off the line, to whichever side", () => {
    const s = new Sources();
    const mean = meanOfArms(
      "arm_swing_direction_deg",
      [swing("left", s, 28), swing("left", s, 32), swing("right", s, -50), swing("right", s, 140)],
      null,
    );
    if ("why" in mean) throw new Error(mean.why);
    // Left 30°, right 50° and 40°: (30 + 45) / 2.
    expect(mean.mean).toBeCloseTo(37.5, 9);
    expect(mean.n).toBe(4);
    expect(mean.leftMinusRight.value).toBeCloseTo(-15, 9);
    if (mean.leftMinusRight.value === null) throw new Error("no difference");
    // Four independent swings of 5°: √(25/2 + 25/2) apart, half of it in the mean; 1.96 times that is ± 95 %.
    expect(mean.leftMinusRight.u95 / 1.959964).toBeCloseTo(5, 5);
    expect(mean.u95 / 1.959964).toBeCloseTo(2.5, 5);
  });

  it("says which arm's swings lie too far apart, and still has the other's", () => {
    const s = new Sources();
    const mean = meanOfArms(
      "arm_swing_direction_deg",
      [swing("left", s, 5), swing("left", s, 80), swing("right", s, 10), swing("right", s, 14)],
      null,
    );
    if ("why" in mean) throw new Error(mean.why);
    expect(mean.mean).toBeCloseTo(12, 9);
    expect(mean.left).toMatchObject({ value: null });
    expect(mean.leftMinusRight.value).toBeNull();
  });
});
