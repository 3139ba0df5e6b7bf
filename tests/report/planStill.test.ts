import { describe, expect, it } from "vitest";
import { planFrame, planStrideStills, type StillPlan } from "../../src/report/still/planStill.ts";
import { stillLabel, stillSvg } from "../../src/report/still/stillSvg.ts";
import { offMean, usualStrides } from "../../src/report/still/usualStrides.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { demo } from "../helpers/demoReadings.ts";
import { near } from "../helpers/near.ts";

const whole = demo();
const readingOf = measuredOnce(whole);
const readings = (trial: string) => {
  const reading = readingOf(trial);
  if (!reading.ok) throw reading.error;
  return reading.value;
};
const TRIALS = ["aino-close-1", "aino-open-1", "bea-open-1", "tove-close-2"];

describe("a still", () => {
  // Closed form: what is drawn, taken back to the ice, must be as long as what is said. The drawn line ends at the
  // marked frame's own points, so it is held against the value at that frame.
  it("draws width, touchdown and recovery to scale on the ice", () => {
    const drawn = { width: 0, touchdown: 0, recovery: 0 };
    for (const trial of TRIALS)
      for (const stride of readings(trial).strides) {
        const plans = planStrideStills(whole, trial, readings(trial), stride);
        if (!plans) continue;
        for (const [name, plan, said] of [
          ["width", plans.off, stride.readings.stride_width_m],
          ["touchdown", plans.off, stride.readings.touchdown_to_track_midline_m],
          ["recovery", plans.nearest, stride.readings.recovery_to_midline_m],
        ] as const) {
          const line = plan?.[name];
          if (!line || said.value === null) continue;
          const [from, to] = [line.blade, line.toward].map((p) => plan.scale!.toIce(p, plan.frame)!);
          const length = Math.hypot(to!.x - from!.x, to!.y - from!.y);
          const want = name === "width" ? said.atFrame! : Math.abs(said.value);
          near(length, want, 0.002);
          // Positive is towards the blade's own side, and y is to the left: the blade lies out there, the line's end inside.
          const out = (stride.side === "left" ? 1 : -1) * Math.sign(said.value);
          if (length > 0.02) expect(Math.sign(from!.y - to!.y)).toBe(out);
          drawn[name] += 1;
        }
      }
    for (const n of Object.values(drawn)) expect(n).toBeGreaterThan(10);
  });

  // Marks are where people clicked: the recovering blade and mid-hip are drawn where heel and toe, and both hips, are.
  it("draws the recovery from the marks above it", () => {
    let seen = 0;
    for (const trial of TRIALS)
      for (const stride of readings(trial).strides) {
        const plan = planStrideStills(whole, trial, readings(trial), stride)?.nearest;
        if (!plan?.recovery) continue;
        const middle = (points: readonly string[], side: string | null) => {
          const marks = plan.marks.filter(
            (m) => points.includes(m.point) && (side === null || m.side === side),
          );
          expect(marks).toHaveLength(2);
          const mean = (pick: "xPx" | "yPx") => (marks[0]![pick] + marks[1]![pick]) / 2;
          return [mean("xPx"), mean("yPx")] as const;
        };
        const blade = middle(["blade_heel", "blade_toe"], stride.side);
        const hips = middle(["hip"], null);
        // The place rests on the mark and on what is believed of heights; across and up the mark decides.
        near(plan.recovery.air.xPx, blade[0], 3);
        near(plan.recovery.air.yPx, blade[1], 3);
        near(plan.recovery.hip.xPx, hips[0], 3);
        near(plan.recovery.hip.yPx, hips[1], 3);
        expect(plan.recovery.belowHip.yPx).toBeGreaterThan(plan.recovery.hip.yPx);
        seen += 1;
      }
    expect(seen).toBeGreaterThan(10);
  });

  it("shows everything it draws, inside the picture", () => {
    const trial = "bea-open-1";
    for (const stride of readings(trial).strides) {
      const plans = planStrideStills(whole, trial, readings(trial), stride);
      for (const plan of plans ? [plans.off, plans.nearest] : []) {
        if (!plan) continue;
        const { box, picture } = plan;
        expect(box.x).toBeGreaterThanOrEqual(0);
        expect(box.y).toBeGreaterThanOrEqual(0);
        expect(box.x + box.width).toBeLessThanOrEqual(picture.width);
        expect(box.y + box.height).toBeLessThanOrEqual(picture.height);
        for (const line of [plan.width, plan.recovery])
          for (const { xPx } of line ? [line.blade, line.toward] : []) {
            expect(xPx).toBeGreaterThan(box.x);
            expect(xPx).toBeLessThan(box.x + box.width);
          }
      }
    }
  });

  it("says the same in words and has no address of its own", () => {
    const [a] = usualStrides(readings("aino-close-1"), readings("aino-open-1"))!;
    const plan = planStrideStills(whole, "aino-close-1", readings("aino-close-1"), a)!.off;
    const label = stillLabel(plan, "Aino & co");
    const svg = stillSvg(plan, null, label).text;
    expect(label).toContain(`frame ${a.blade_off_frame}`);
    expect(svg.includes("Aino &amp; co")).toBe(true);
    expect(svg.includes("<image")).toBe(false);
  });

  it("shows two strides of the same blade side by side", () => {
    for (const skater of ["aino", "bea", "tove", "wren"]) {
      const two = usualStrides(readings(`${skater}-close-1`), readings(`${skater}-open-1`))!;
      expect(two[0].side).toBe(two[1].side);
      // Each is the nearest to its own trial's means of that blade, of those that have all that is drawn.
      for (const [k, trial] of [`${skater}-close-1`, `${skater}-open-1`].entries()) {
        const { strides } = readings(trial);
        const complete = strides.filter(
          (s) =>
            s.side === two[k]!.side &&
            s.off !== null &&
            s.recovery !== null &&
            s.readings.stride_width_m.value !== null &&
            s.readings.touchdown_to_track_midline_m.value !== null &&
            s.readings.recovery_to_midline_m.value !== null,
        );
        const best = Math.min(...complete.map((s) => offMean(s, { strides })));
        expect(offMean(two[k]!, { strides })).toBeLessThanOrEqual(best + 1e-9);
      }
    }
  });
});

describe("any frame", () => {
  const trial = "aino-open-1";
  const SIZE = { width: 1280, height: 720 };
  const plan = (frame: number): StillPlan => planFrame(whole, trial, readings(trial), frame, SIZE)!;
  const texts = (p: StillPlan) =>
    [
      ...stillSvg(p, null, "x", "caption").text.matchAll(/<text(?![^>]*aria-hidden)[^>]*>([^<]*)<\/text>/g),
    ].map((m) => m[1]);

  it("has what is measured in it and nothing else", () => {
    const stride = readings(trial).strides.find(
      (s) => s.readings.stride_width_m.value !== null && s.recovery && s.blade_on_frame !== null,
    )!;
    const at = {
      off: plan(stride.blade_off_frame),
      nearest: plan(stride.recovery!.frame),
      on: plan(stride.blade_on_frame!),
    };
    expect(at.off.width?.value).toBe(stride.readings.stride_width_m.value);
    expect(texts(at.off).some((t) => t!.startsWith("width "))).toBe(true);
    expect(at.nearest.recovery?.value).toBe(stride.readings.recovery_to_midline_m.value);
    expect(texts(at.nearest).some((t) => t!.startsWith("recovery "))).toBe(true);
    expect(at.on.touchdown?.value).toBe(stride.readings.touchdown_to_track_midline_m.value);
    const between = plan(stride.blade_off_frame + 1);
    expect([between.width, between.touchdown, between.recovery, between.shows]).toEqual([
      null,
      null,
      null,
      "",
    ]);
    expect(texts(between)).toContain("caption");
    expect(texts(between).filter((t) => /\sm$/.test(t!)).length).toBeGreaterThan(2);
  });

  it("is drawn without a scale, without readings and without marks", () => {
    const marks = { ...whole.marks[trial]!, iceReference: null, marks: [], events: [] };
    const bare = planFrame({ ...whole, marks: { [trial]: marks } }, trial, null, 7, SIZE)!;
    expect(bare.scale).toBeNull();
    expect(texts(bare)).toEqual(["caption"]);
    expect(planFrame(whole, "nobody", null, 7, SIZE)).toBeNull();
  });
});
