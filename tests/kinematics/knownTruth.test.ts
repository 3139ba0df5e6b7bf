import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { byDefinition } from "../helpers/definitions.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { PLACEMENTS, ZONE } from "../helpers/placements.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

// Expected values: the simulated skater's own points by the definitions (tests/helpers), no code of src.
const vary = (n: number) => 0.04 * Math.sin(3 * n);
const skater = simulateSkater({ ...ORDINARY, strides: 5, speed: 7, startX: 11.8, heading: 0.03, vary });

describe.each(Object.entries(PLACEMENTS))("perfect marks, camera %s", (_, camera) => {
  const { input, frames } = filmedTrial(skater, {
    camera,
    fps: 60,
    zone: ZONE,
    noisePx: 0,
    slips: 0,
    random: seeded(1),
    statedSdPx: 1,
  });
  const readings = measureTrial(input);
  const atFrames = frames.map((f) => ({
    side: f.side,
    off: f.off / 60,
    nearest: f.nearest / 60,
    on: f.on / 60,
  }));

  it("has every stride, with the sides taking turns", () => {
    expect(readings.strides.map((s) => s.side)).toEqual(["left", "right", "left", "right", "left"]);
    expect(readings.scaleWhy).toBeNull();
    expect(readings.scale!.rmsPx).toBeLessThan(1e-6);
    expect(readings.scale!.camera!.focalPx).toBeCloseTo(camera.focalPx, 3);
  });

  it.each(["stride_width_m", "blade_separation_m", "touchdown_to_track_midline_m"] as const)(
    "%s at the marked frames is the truth's to a millimetre",
    (quantity) => {
      for (const k of [1, 2, 3]) {
        const reading = readings.strides[k]!.readings[quantity];
        if (reading.value === null) throw new Error(reading.why);
        expect(Math.abs(reading.atFrame! - byDefinition(skater, atFrames, k)[quantity])).toBeLessThan(0.001);
      }
    },
  );

  it("stride length at the marked frames is the truth's to a millimetre", () => {
    for (const k of [1, 2, 3]) {
      const reading = readings.strides[k]!.readings.stride_length_m;
      if (reading.value === null) throw new Error(reading.why);
      const want = byDefinition(skater, atFrames, k).stride_length_m;
      expect(Math.abs(reading.atFrame! - want)).toBeLessThan(0.001);
    }
  });

  it("places blades where they are", () => {
    for (const [k, stride] of readings.strides.entries()) {
      const at = skater.blade(stride.side, frames[k]!.off / 60);
      expect(Math.hypot(stride.off!.x - at.x, stride.off!.y - at.y)).toBeLessThan(0.001);
    }
  });
});

describe("the correction to the event time", () => {
  it("takes away most of what a slow camera loses of the width", () => {
    // docs/precision.md 6: at 30 fps a single last-on frame narrows the width by 2.6 cm
    // 10.2 frames from one blade-off to the next, so that the events fall everywhere between frames.
    const slow = simulateSkater({ ...ORDINARY, strides: 5, speed: 7, startX: 11.8, period: 0.34 });
    const { input } = filmedTrial(slow, {
      camera: PLACEMENTS.facing,
      fps: 30,
      zone: ZONE,
      noisePx: 0,
      slips: 0,
      random: seeded(1),
      statedSdPx: 1,
    });
    const truth = slow.offs.map((o) => ({
      side: o.side,
      off: o.time,
      nearest: o.nearestTime,
      on: o.onTime,
    }));
    const errors = measureTrial(input)
      .strides.slice(1, 4)
      .map((stride, k) => {
        const width = stride.readings.stride_width_m;
        if (width.value === null) throw new Error(width.why);
        const want = byDefinition(slow, truth, k + 1).stride_width_m;
        return { corrected: width.value - want, atFrame: width.atFrame! - want, u95: width.u95 };
      });
    const mean = (pick: (e: (typeof errors)[number]) => number) =>
      errors.reduce((sum, e) => sum + pick(e), 0) / errors.length;
    expect(mean((e) => e.atFrame)).toBeLessThan(-0.015);
    expect(Math.abs(mean((e) => e.corrected))).toBeLessThan(0.01);
    for (const e of errors) expect(Math.abs(e.corrected)).toBeLessThan(e.u95);
  });

  it("uses marks around the event where there are any", () => {
    const film = {
      camera: PLACEMENTS.facing,
      fps: 60,
      zone: ZONE,
      noisePx: 0,
      slips: 0,
      random: seeded(1),
      statedSdPx: 0.3,
    };
    const fast = simulateSkater({ ...ORDINARY, strides: 5, speed: 7, startX: 11.8, offSpeed: 1.8 });
    const filmed = filmedTrial(fast, film);
    const { frames } = filmed;
    // Marks in blade-off frames alone, so that at first nothing shows a speed.
    const input = {
      ...filmed.input,
      marks: filmed.input.marks.filter((m) => frames.some((f) => f.off === m.frame)),
    };
    const before = frames.flatMap((f) =>
      (["heel", "toe"] as const).map((end) => {
        const frame = f.off - 2;
        const at = fast[end](f.side, frame / 60);
        const point = end === "heel" ? ("blade_heel" as const) : ("blade_toe" as const);
        return { frame, time: frame / 60, point, side: f.side, ...film.camera.see(at.x, at.y, at.z) };
      }),
    );
    const correction = (marks: typeof input.marks) => {
      const width = measureTrial({ ...input, marks }).strides[2]!.readings.stride_width_m;
      if (width.value === null) throw new Error(width.why);
      return { by: width.value - width.atFrame! };
    };
    const alone = correction(input.marks);
    const seen = correction([...input.marks, ...before]);
    // True: 1.8 m/s, a little less before the event, for half a frame at both edges of the width. Where the blades point
    // tells it without another mark.
    expect(alone.by).toBeGreaterThan(1.3 / 60);
    expect(alone.by).toBeLessThan(1.9 / 60);
    expect(seen.by).toBeGreaterThan(1.3 / 60);
    expect(seen.by).toBeLessThan(1.9 / 60);
  });
});
