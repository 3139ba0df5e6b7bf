import { describe, expect, it } from "vitest";
import { measureJson } from "../../src/kinematics/measureJson.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { MeasureInput, Stride } from "../../src/kinematics/types.ts";
import type { Measured, Reading } from "../../src/reading.ts";
import type { IcePoint, Side } from "../../src/study/types.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { PLACEMENTS, ZONE } from "../helpers/placements.ts";
import { normal, seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

// Laws: what must stay the same, or change in a known way, whatever the numbers are.
const skater = simulateSkater({
  ...ORDINARY,
  strides: 5,
  speed: 7,
  startX: 11.8,
  heading: 0.02,
  vary: (n) => 0.03 * Math.cos(2 * n),
});
const { input } = filmedTrial(skater, {
  camera: PLACEMENTS.facing,
  fps: 60,
  zone: ZONE,
  noisePx: 1,
  slips: 0,
  random: seeded(7),
  statedSdPx: 1,
});
const original = measureTrial(input);

const POSITIONS = [
  "stride_width_m",
  "blade_separation_m",
  "half_width_m",
  "recovery_to_midline_m",
  "touchdown_to_midline_m",
  "touchdown_to_track_midline_m",
] as const;
const TIMES = ["blade_off_s", "blade_on_s", "stride_rate_hz", "recovery_time_s"] as const;

const other = (side: Side): Side => (side === "left" ? "right" : "left");

function withPoints(change: (p: IcePoint) => IcePoint): MeasureInput {
  if (input.iceReference?.kind !== "ice-points") throw new Error("ice points expected");
  return { ...input, iceReference: { kind: "ice-points", points: input.iceReference.points.map(change) } };
}

function expectSame(got: Reading, want: Reading, relative = 1e-6) {
  if (want.value === null || got.value === null) {
    expect(got).toEqual(want);
    return;
  }
  const close = (a: number, b: number) => expect(Math.abs(a - b)).toBeLessThan(relative * (1 + Math.abs(b)));
  close(got.value, want.value);
  close(got.u95, want.u95);
  if (want.atFrame !== undefined) close(got.atFrame!, want.atFrame);
}

/** Null where neither is measured; one alone fails. */
function bothMeasured(got: Reading, want: Reading): readonly [Measured, Measured] | null {
  expect(got.value === null).toBe(want.value === null);
  return got.value === null || want.value === null ? null : [got, want];
}

function eachStride(got: readonly Stride[], check: (got: Stride, want: Stride) => void) {
  expect(got).toHaveLength(5);
  expect(original.strides.filter((s) => s.readings.stride_width_m.value !== null)).toHaveLength(3);
  got.forEach((stride, k) => {
    check(stride, original.strides[k]!);
  });
}

describe("measuring a trial", () => {
  it("gives every position of the middle strides from here", () => {
    for (const quantity of POSITIONS) expect(original.strides[2]!.readings[quantity].value).not.toBeNull();
  });

  it("a mirrored world swaps the sides and keeps every distance", () => {
    const flip = (xPx: number) => input.picture.width - 1 - xPx;
    const mirrored = measureTrial({
      ...withPoints((p) => ({ ...p, xPx: flip(p.xPx), y: -p.y })),
      marks: input.marks.map((m) => ({ ...m, xPx: flip(m.xPx), side: other(m.side) })),
      events: input.events.map((e) => ({ ...e, side: other(e.side) })),
    });
    eachStride(mirrored.strides, (got, want) => {
      expect(got.side).toBe(other(want.side));
      expect(got.off!.y).toBeCloseTo(-want.off!.y, 6);
      for (const quantity of [...POSITIONS, ...TIMES])
        expectSame(got.readings[quantity], want.readings[quantity]);
    });
  });

  it("turning and shifting the ice frame changes no distance", () => {
    const [c, s] = [Math.cos(0.7), Math.sin(0.7)];
    const turned = measureTrial(
      withPoints((p) => ({ ...p, x: 3 + c * p.x - s * p.y, y: -8 + s * p.x + c * p.y })),
    );
    eachStride(turned.strides, (got, want) => {
      expect(got.off!.x).toBeCloseTo(3 + c * want.off!.x - s * want.off!.y, 6);
      for (const quantity of [...POSITIONS, ...TIMES])
        expectSame(got.readings[quantity], want.readings[quantity]);
    });
  });

  it("the order of the rows changes nothing", () => {
    const reordered = measureTrial({
      ...input,
      marks: input.marks.slice().reverse(),
      events: input.events.slice().reverse(),
    });
    expect(JSON.stringify(measureJson(reordered))).toBe(JSON.stringify(measureJson(original)));
  });

  it("the same input gives the same bytes", () => {
    expect(JSON.stringify(measureJson(measureTrial(input)))).toBe(JSON.stringify(measureJson(original)));
  });

  it("a clip stretched eight times, declared so, measures the same", () => {
    const stretched = measureTrial({
      ...input,
      speedFactor: 8,
      frameInterval: input.frameInterval! * 8,
      marks: input.marks.map((m) => ({ ...m, time: m.time * 8 })),
      events: input.events.map((e) => ({ ...e, time: e.time * 8 })),
    });
    eachStride(stretched.strides, (got, want) => {
      for (const quantity of [...POSITIONS, ...TIMES])
        expectSame(got.readings[quantity], want.readings[quantity]);
    });
  });

  it("a speed factor alone shortens times, raises rates and leaves places at the frames alone", () => {
    const slow = measureTrial({ ...input, speedFactor: 1.25 });
    eachStride(slow.strides, (got, want) => {
      for (const quantity of ["blade_off_s", "blade_on_s", "recovery_time_s"] as const) {
        const pair = bothMeasured(got.readings[quantity], want.readings[quantity]);
        if (!pair) continue;
        expect(1.25 * pair[0].value).toBeCloseTo(pair[1].value, 9);
        expect(1.25 * pair[0].u95).toBeCloseTo(pair[1].u95, 9);
      }
      const rates = bothMeasured(got.readings.stride_rate_hz, want.readings.stride_rate_hz);
      if (rates) expect(rates[0].value / 1.25).toBeCloseTo(rates[1].value, 9);
      const widths = bothMeasured(got.readings.stride_width_m, want.readings.stride_width_m);
      if (widths) expect(widths[0].atFrame).toBeCloseTo(widths[1].atFrame!, 9);
    });
  });

  it("a larger ice frame makes all places and distances at the frames larger alike", () => {
    // Ice points said in another unit (little enough that every ± stays within what is shown): what is on the ice scales with them; what heights and habits enter does not.
    const scaled = measureTrial(withPoints((p) => ({ ...p, x: 1.02 * p.x, y: 1.02 * p.y })));
    eachStride(scaled.strides, (got, want) => {
      expect(got.off!.x).toBeCloseTo(1.02 * want.off!.x, 6);
      for (const quantity of [
        "stride_width_m",
        "blade_separation_m",
        "touchdown_to_track_midline_m",
        "stride_length_m",
      ] as const) {
        const pair = bothMeasured(got.readings[quantity], want.readings[quantity]);
        if (pair) expect(pair[0].atFrame).toBeCloseTo(1.02 * pair[1].atFrame!, 6);
      }
      for (const quantity of TIMES) expectSame(got.readings[quantity], want.readings[quantity]);
    });
  });

  it("a table split in two gives the strides in the middle of each part as the whole did", () => {
    const cut = original.strides[4]!.blade_off_frame;
    const part = measureTrial({
      ...input,
      marks: input.marks.filter((m) => m.frame < cut),
      events: input.events.filter((e) => e.frame < cut),
    });
    const rest = measureTrial({
      ...input,
      events: input.events.filter((e) => e.frame >= original.strides[1]!.blade_off_frame),
    });
    // Strides 2 and 3 have both neighbours in the first part, 3 and 4 in the second.
    for (const [got, n] of [
      [part.strides[1], 1],
      [part.strides[2], 2],
      [rest.strides.find((s) => s.blade_off_frame === original.strides[2]!.blade_off_frame), 2],
      [rest.strides.find((s) => s.blade_off_frame === original.strides[3]!.blade_off_frame), 3],
    ] as const) {
      for (const quantity of ["stride_width_m", "blade_separation_m", "stride_rate_hz"] as const)
        expectSame(got!.readings[quantity], original.strides[n]!.readings[quantity], 1e-9);
    }
  });

  it("takes the frame interval from the table's times where it is not given", () => {
    const guessed = measureTrial({ ...input, frameInterval: null });
    eachStride(guessed.strides, (got, want) => {
      for (const quantity of POSITIONS) expectSame(got.readings[quantity], want.readings[quantity]);
    });
  });

  it("twice the marking SD widens, three repeat marks narrow", () => {
    const u95 = (readings: typeof original) => {
      const width = readings.strides[2]!.readings.stride_width_m;
      if (width.value === null) throw new Error(width.why);
      return width.u95;
    };
    const coarse = measureTrial({ ...input, markSdPx: 2 });
    const random = seeded(3);
    const again = (px: number) => px + normal(random);
    const repeated = measureTrial({
      ...input,
      markSdIsKnown: true,
      marks: input.marks.flatMap((m) =>
        [1, 2, 3].map((pass) => ({ ...m, xPx: again(m.xPx), yPx: again(m.yPx), pass })),
      ),
    });
    expect(u95(coarse)).toBeGreaterThan(u95(original));
    expect(u95(repeated)).toBeLessThan(u95(original));
  });
});

describe("the trial's mean", () => {
  it("balances left against right, and knows that neighbours share marks", () => {
    const width = original.trial.stride_width_m;
    if (!("mean" in width)) throw new Error(width.why);
    if (!("mean" in width.left) || !("mean" in width.right)) throw new Error("both sides expected");
    expect(width.mean).toBeCloseTo((width.left.mean + width.right.mean) / 2, 12);
    expect([width.left.n, width.right.n]).toEqual([1, 2]);
    expect(width.n).toBe(3);
    const singles = original.strides.flatMap((s) => {
      const reading = s.readings.stride_width_m;
      return reading.value === null ? [] : [reading.u95];
    });
    // Independent strides would give (u1²/16 + u2²/4 + u3²/16)^½; shared marks make the mean less certain than that.
    const [a, b, c] = singles as [number, number, number];
    expect(width.u95).toBeGreaterThan(1.2 * Math.sqrt(a ** 2 / 16 + b ** 2 / 4 + c ** 2 / 16));
    expect(width.u95).toBeLessThan(Math.max(a, b, c));
  });

  it("of rates is their plain mean", () => {
    const rate = original.trial.stride_rate_hz;
    if (!("mean" in rate)) throw new Error(rate.why);
    const rates = original.strides.flatMap((s) => s.readings.stride_rate_hz.value ?? []);
    expect(rates).toHaveLength(4);
    expect(rate.mean).toBeCloseTo(rates.reduce((a, b) => a + b, 0) / 4, 12);
  });
});
