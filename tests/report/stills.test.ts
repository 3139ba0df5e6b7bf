import { describe, expect, it } from "vitest";
import { alikeStrides, planStill } from "../../src/report/still/planStill.ts";
import { stillLabel, stillSvg } from "../../src/report/still/stillSvg.ts";
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

describe("a still", () => {
  // Closed form: what is drawn, taken back to the ice, must be as long as what is said. The drawn line ends at the
  // marked frame's own points, so it is held against the value at that frame.
  it("draws width and touchdown to scale on the ice", () => {
    let drawn = 0;
    for (const trial of ["aino-close-1", "aino-open-1", "bea-open-1", "tove-close-2"])
      for (const stride of readings(trial).strides) {
        const plan = planStill(whole, trial, readings(trial), stride);
        if (!plan) continue;
        for (const [line, said] of [
          [plan.width, stride.readings.stride_width_m],
          [plan.recovery, stride.readings.touchdown_to_track_midline_m],
        ] as const) {
          if (!line || said.value === null) continue;
          const [from, to] = [line.blade, line.toward].map((p) => plan.scale.toIce(p, plan.frame)!);
          const length = Math.hypot(to!.x - from!.x, to!.y - from!.y);
          const want = line === plan.width ? said.atFrame! : Math.abs(said.value);
          near(length, want, 0.002);
          // Positive is towards the blade's own side, and y is to the left: the blade lies out there, the line's end inside.
          const out = (stride.side === "left" ? 1 : -1) * Math.sign(said.value);
          if (length > 0.02) expect(Math.sign(from!.y - to!.y)).toBe(out);
          drawn += 1;
        }
      }
    expect(drawn).toBeGreaterThan(20);
  });

  it("shows everything it draws, inside the picture", () => {
    const trial = "bea-open-1";
    for (const stride of readings(trial).strides) {
      const plan = planStill(whole, trial, readings(trial), stride);
      if (!plan?.width) continue;
      const { box, picture } = plan;
      expect(box.x).toBeGreaterThanOrEqual(0);
      expect(box.y).toBeGreaterThanOrEqual(0);
      expect(box.x + box.width).toBeLessThanOrEqual(picture.width);
      expect(box.y + box.height).toBeLessThanOrEqual(picture.height);
      for (const { xPx } of [plan.width.blade, plan.width.toward]) {
        expect(xPx).toBeGreaterThan(box.x);
        expect(xPx).toBeLessThan(box.x + box.width);
      }
    }
  });

  it("says the same in words and has no address of its own", () => {
    const [a] = alikeStrides(readings("aino-close-1"), readings("aino-open-1"))!;
    const plan = planStill(whole, "aino-close-1", readings("aino-close-1"), a)!;
    const label = stillLabel(plan, "Aino & co");
    const svg = stillSvg(plan, null, label).text;
    expect(label).toContain(`frame ${a.blade_off_frame}`);
    expect(svg.includes("Aino &amp; co")).toBe(true);
    expect(svg.includes("<image")).toBe(false);
  });

  it("shows two strides of the same blade side by side", () => {
    for (const skater of ["aino", "bea", "tove", "wren"]) {
      const two = alikeStrides(readings(`${skater}-close-1`), readings(`${skater}-open-1`))!;
      expect(two[0].side).toBe(two[1].side);
      expect(Math.abs(two[0].off!.x - two[1].off!.x)).toBeLessThan(5);
    }
  });
});
