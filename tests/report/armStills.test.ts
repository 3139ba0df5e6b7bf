import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { planArmStills, usualSwings } from "../../src/report/still/planArmStills.ts";
import { skaterStills } from "../../src/report/still/skaterStills.ts";
import { stillLabel, stillSvg } from "../../src/report/still/stillSvg.ts";
import { studyAnswer } from "../../src/report/studyAnswer.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { ARMS, demo } from "../helpers/demoReadings.ts";

const whole = demo(ARMS);
const readingOf = measuredOnce(whole);
const trialOf = (id: string) => {
  const reading = readingOf(id);
  if (!reading.ok) throw reading.error;
  return { id, readings: reading.value };
};
const TRIALS = ["aino-along-1", "aino-across-1", "signe-along-1", "signe-across-1"];

interface Truth {
  readonly events: readonly {
    readonly event: string;
    readonly side: string;
    readonly frame: number;
    readonly stride: number;
  }[];
  readonly strides: readonly {
    readonly stride: number;
    readonly arm_swing?: Readonly<
      Record<"left" | "right", { readonly at_frame: { readonly direction_deg: number } } | null>
    >;
  }[];
}
const truthOf = (id: string): Truth =>
  JSON.parse(readFileSync(join(ARMS, `../truth/${id}.json`), "utf8")) as Truth;

/** The stills of each trial's most usual swing. */
const stillsOf = (id: string) => {
  const trial = trialOf(id);
  const swing = usualSwings(whole, trial, trial)![0];
  return { swing, plans: planArmStills(whole, id, trial.readings, swing)! };
};

describe("stills of arms", () => {
  it.each(TRIALS)("are drawn through the marked joints: %s", (id) => {
    const { swing, plans } = stillsOf(id);
    for (const plan of [plans.off, plans.nearest!]) {
      const [arm] = plan.arms;
      for (const [k, point] of (["shoulder", "elbow", "wrist"] as const).entries()) {
        const mark = plan.marks.find((m) => m.side === swing.side && m.point === point)!;
        const at = arm!.joints[k]!;
        // A joint lies on its own ray; the elbow or wrist of a limb that looks longer than it is, on the nearest point.
        expect(Math.hypot(at.xPx - mark.xPx, at.yPx - mark.yPx)).toBeLessThan(0.5);
      }
    }
  });

  it.each(TRIALS)("show on the ice the direction that is written, and it holds the truth: %s", (id) => {
    const { swing, plans } = stillsOf(id);
    const { arms, scale, frame } = plans.off;
    const [arm] = arms;
    const ice = (p: { readonly xPx: number; readonly yPx: number }) => scale!.toIce(p, frame)!;
    const way = ([a, b]: readonly [{ xPx: number; yPx: number }, { xPx: number; yPx: number }]) => {
      const [from, to] = [ice(a), ice(b)];
      return Math.atan2(to.y - from.y, to.x - from.x);
    };
    const off = Math.abs(Math.sin(way(arm!.swing) - way(arm!.travel)));
    expect(Math.abs((Math.asin(off) * 180) / Math.PI - arm!.value)).toBeLessThan(1.1);
    const push = trialOf(id).readings.strides[swing.stride - 1]!;
    const { events, strides } = truthOf(id);
    const same = events.find(
      (e) => e.event === "blade_off" && e.side === push.side && Math.abs(e.frame - push.blade_off_frame) <= 1,
    )!;
    const truth = strides.find((s) => s.stride === same.stride)!.arm_swing![swing.side]!;
    expect(Math.abs(truth.at_frame.direction_deg - arm!.value)).toBeLessThan(arm!.u95);
  });

  it("are what a study about arms shows of each skater, and say so in words", () => {
    const answer = studyAnswer(whole, "time_s", "names", readingOf)!;
    for (const skater of ["aino", "signe"]) {
      const plans = skaterStills(whole, skater, answer, readingOf)!;
      expect(plans).toMatchObject({ of: "arms", shows: "left and right" });
      for (const which of [plans.a, plans.b])
        expect(which.map(({ arms }) => arms.map((arm) => arm.side))).toEqual([["left"], ["right"]]);
      const label = stillLabel(plans.a[0]!, "Someone");
      expect(label).toMatch(
        /(left|right) arm at its front extreme; arm-swing direction of the \1 arm \d+(\.\d+)?° ± \d+(\.\d+)?°, drawn/,
      );
      expect(stillSvg(plans.a[0]!, null, label).text).toContain("<polyline");
    }
  });
});
