import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { MeasureInput } from "../../src/kinematics/types.ts";
import type { Mark } from "../../src/study/types.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { PLACEMENTS, ZONE } from "../helpers/placements.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

const skater = simulateSkater({ ...ORDINARY, strides: 5, speed: 7, startX: 11.8 });
const filming = { camera: PLACEMENTS.facing, fps: 60, zone: ZONE, noisePx: 0, slips: 0, statedSdPx: 1 };
const { input, frames } = filmedTrial(skater, { ...filming, random: seeded(1) });

function refusal(changed: Partial<MeasureInput>): MeasureError {
  try {
    measureTrial({ ...input, ...changed });
  } catch (error) {
    if (error instanceof MeasureError) return error;
    throw error;
  }
  throw new Error("nothing was refused");
}

function changedMark(change: Partial<Mark>): readonly Mark[] {
  return input.marks.map((m, k) => (k === 4 ? { ...m, ...change } : m));
}

const isLeftOn = (e: { event: string; side: string }) => e.event === "blade_on" && e.side === "left";

describe("input nobody can have meant is refused, naming the place", () => {
  const fourth = input.marks[4]!;

  it.each([
    ["a mark that is not a number", { marks: changedMark({ xPx: Number.NaN }) }, "mark-not-a-number"],
    ["a mark with no uncertainty", { marks: changedMark({ uPx: 0 }) }, "mark-not-a-number"],
    ["a mark outside the picture", { marks: changedMark({ yPx: 1080 }) }, "mark-outside-picture"],
    ["a mark given twice", { marks: [...input.marks, fourth] }, "duplicate-mark"],
  ] as const)("%s", (_, changed, code) => {
    const error = refusal(changed);
    expect(error.code).toBe(code);
    expect(error.coach).toContain(`frame ${fourth.frame}`);
    expect(error.coach).toContain(fourth.side);
  });

  it.each([
    ["half a frame", { marks: changedMark({ frame: 12.5 }) }, "bad-frame", "12.5"],
    ["a frame without a time", { marks: changedMark({ frame: 9999, time: Number.NaN }) }, "bad-time", "9999"],
    [
      "a frame with two times",
      { marks: changedMark({ time: 77 }) },
      "frame-has-two-times",
      `${input.marks[4]!.frame}`,
    ],
    [
      "a later frame with an earlier time",
      { marks: changedMark({ frame: 9999, time: 0.01 }) },
      "times-not-increasing",
      "9999",
    ],
    ["no speed at all", { speedFactor: 0 }, "bad-speed-factor", "speed factor"],
    [
      "an event given twice",
      { events: [...input.events, input.events[0]!] },
      "duplicate-event",
      `frame ${input.events[0]!.frame}`,
    ],
  ] as const)("%s", (_, changed, code, word) => {
    const error = refusal(changed);
    expect(error.code).toBe(code);
    expect(error.coach).toContain(word);
  });

  it("a marking SD that is not a number", () => {
    expect(refusal({ markSdPx: Number.NaN }).code).toBe("bad-mark-sd");
    expect(refusal({ markSdPx: 0 }).code).toBe("bad-mark-sd");
  });

  it("a body length that is not one", () => {
    expect(refusal({ body: { hipHeight: -1 } }).code).toBe("bad-body-length");
    expect(refusal({ body: { stature: Number.NaN } }).coach).toContain("stature");
  });

  it("a frame interval that is not one", () => {
    expect(refusal({ frameInterval: 0 }).code).toBe("bad-frame-interval");
  });
});

describe("marks and events that are no measurement", () => {
  const frameOf = (k: number) => frames[k]!;

  it("all marks on one spot", () => {
    const error = refusal({ marks: input.marks.map((m) => ({ ...m, xPx: 700, yPx: 600 })) });
    expect(error.code).toBe("blade-without-length");
    expect(error.coach).toContain(`frame ${Math.min(...input.marks.map((m) => m.frame))}`);
  });

  it("one frame's marks copied into all others", () => {
    const first = input.marks.filter((m) => m.frame === input.marks[0]!.frame);
    const copied = input.marks.flatMap((m) => {
      const from = first.find((f) => f.point === m.point && f.side === m.side);
      return from ? [{ ...m, xPx: from.xPx, yPx: from.yPx }] : [];
    });
    const error = refusal({ marks: copied });
    expect(error.code).toBe("blade-does-not-move");
    expect(error.coach).toMatch(/(left|right) blade .* frames \d+, \d+, \d+/);
  });

  it("both blades on one spot", () => {
    const { off } = frameOf(2);
    const left = input.marks.filter((m) => m.frame === off && m.side === "left");
    const copied = input.marks.map((m) => {
      const from = m.frame === off && m.side === "right" && left.find((f) => f.point === m.point);
      return from ? { ...m, xPx: from.xPx, yPx: from.yPx } : m;
    });
    expect(refusal({ marks: copied })).toMatchObject({
      code: "blades-on-one-spot",
      coach: expect.stringContaining(`frame ${off}`),
    });
  });

  it("one blade that looks like a dot: only what needs it goes", () => {
    const { off } = frameOf(2);
    const toe = input.marks.find((m) => m.frame === off && m.side === "left" && m.point === "blade_toe")!;
    const marks = input.marks.map((m) =>
      m.frame === off && m.side === "left" && m.point === "blade_heel" ? { ...toe, point: m.point } : m,
    );
    const { readings } = measureTrial({ ...input, marks }).strides[2]!;
    expect(readings.stride_width_m).toMatchObject({
      value: null,
      why: expect.stringContaining(`frame ${off}`),
    });
    expect(readings.stride_rate_hz.value).not.toBeNull();
  });

  it.each([0, 1, 2, 3, 4])("a blade-on and a blade-off that have changed places (stride %i of 5)", (k) => {
    const { side, off, on } = frameOf(k);
    const swapped = input.events.map((e) => {
      if (e.side !== side || e.event === "recovery_min") return e;
      if (e.frame === off) return { ...e, frame: on, time: on / 60 };
      return e.frame === on ? { ...e, frame: off, time: off / 60 } : e;
    });
    const error = refusal({ events: swapped });
    expect(error.code).toBe("contradictory-events");
    expect(error.coach).toContain(side);
    expect([off, on].some((frame) => error.coach.includes(`frame ${frame}`))).toBe(true);
  });

  it("a scale in feet taken for metres: widths of 4 m are refused, not shown", () => {
    if (input.iceReference?.kind !== "ice-points") throw new Error("ice points expected");
    const points = input.iceReference.points.map((p) => ({ ...p, x: p.x / 0.3048, y: p.y / 0.3048 }));
    const { readings } = measureTrial({ ...input, iceReference: { kind: "ice-points", points } }).strides[2]!;
    expect(readings.stride_width_m).toMatchObject({
      value: null,
      why: expect.stringMatching(/3\.9 m, which no skater does/),
    });
  });

  it("a picture without a size", () => {
    expect(refusal({ picture: { width: Number.NaN, height: 1080 } }).code).toBe("bad-picture-size");
  });

  it("an event frame that is not a number", () => {
    const events = input.events.map((e, k) => (k === 3 ? { ...e, frame: Number.NaN } : e));
    expect(refusal({ events }).code).toBe("bad-frame");
  });

  it("one stride alone: instants and nothing else", () => {
    const [only] = measureTrial({ ...input, events: input.events.slice(0, 3) }).strides;
    const { blade_off_s, blade_on_s, recovery_time_s, ...others } = only!.readings;
    for (const had of [blade_off_s, blade_on_s, recovery_time_s]) expect(had.value).not.toBeNull();
    for (const reading of Object.values(others))
      expect(reading).toMatchObject({ value: null, why: expect.stringMatching(/.{20}/) });
  });

  it("ten thousand rows are measured or refused by name, and nothing that is not a number comes out", () => {
    const random = seeded(99);
    const many = Array.from(
      { length: 10_000 },
      (_, k): Mark => ({
        frame: Math.floor(k / 12),
        time: Math.floor(k / 12) / 60,
        point: (["blade_heel", "blade_toe", "hip", "shoulder", "elbow", "wrist"] as const)[k % 6]!,
        side: k % 12 < 6 ? "left" : "right",
        xPx: 1900 * random(),
        yPx: 1000 * random(),
      }),
    );
    const events = Array.from({ length: 75 }, (_, k) => {
      const [side, other] = k % 2 === 0 ? (["left", "right"] as const) : (["right", "left"] as const);
      const frame = 10 + 11 * k;
      return [
        { event: "blade_off" as const, side, frame, time: frame / 60 },
        { event: "blade_on" as const, side: other, frame: frame - 4, time: (frame - 4) / 60 },
      ];
    }).flat();
    const readings = measureTrial({ ...input, marks: many, events });
    expect(readings.strides).toHaveLength(75);
    const numbers = (value: unknown): number[] =>
      typeof value === "number"
        ? [value]
        : value && typeof value === "object"
          ? Object.values(value).flatMap(numbers)
          : [];
    expect(numbers(readings).every(Number.isFinite)).toBe(true);
    for (const { readings: one } of readings.strides) {
      const width = one.stride_width_m;
      if (width.value === null) expect(width.why.length).toBeGreaterThan(20);
      else expect(Math.abs(width.value)).toBeLessThan(3); // more is refused as what no skater does
    }
  });
});

describe("what is only missing gives readings without a value", () => {
  it("nothing marked at all", () => {
    const empty = measureTrial({ ...input, marks: [], events: [], iceReference: null });
    expect(empty.strides).toEqual([]);
    expect(empty.scale).toBeNull();
    expect(empty.scaleWhy).toContain("ice reference");
    for (const mean of Object.values(empty.trial)) expect(mean).toMatchObject({ value: null });
  });

  it("no ice reference: times and rates remain, every place says why not", () => {
    const { strides } = measureTrial({ ...input, iceReference: null });
    const { readings } = strides[2]!;
    expect(readings.stride_rate_hz.value).toBeGreaterThan(2);
    expect(readings.recovery_time_s.value).toBeGreaterThan(0.2);
    for (const quantity of [
      "stride_width_m",
      "half_width_m",
      "touchdown_to_track_midline_m",
      "stride_length_m",
    ] as const) {
      expect(readings[quantity]).toMatchObject({
        value: null,
        why: expect.stringContaining("ice reference"),
      });
    }
  });

  it("a refused ice reference: the same, with the refusal as the reason", () => {
    if (input.iceReference?.kind !== "ice-points") throw new Error("ice points expected");
    const three = { ...input.iceReference, points: input.iceReference.points.slice(0, 3) };
    const readings = measureTrial({ ...input, iceReference: three });
    expect(readings.scale).toBeNull();
    expect(readings.scaleWhy).toContain("at least four ice points");
    expect(readings.strides[2]!.readings.stride_width_m).toMatchObject({
      value: null,
      why: readings.scaleWhy,
    });
  });

  it("a missing toe: says which mark in which frame", () => {
    const frame = frames[2]!.off;
    const marks = input.marks.filter(
      (m) => !(m.frame === frame && m.side === "left" && m.point === "blade_toe"),
    );
    const { strides } = measureTrial({ ...input, marks });
    const width = strides[2]!.readings.stride_width_m;
    expect(width).toMatchObject({
      value: null,
      why: `The left blade's toe end is not marked in frame ${frame}.`,
    });
    expect(strides[2]!.off).toBeNull();
  });

  it("a missing hip: only what needs the hips goes", () => {
    const frame = frames[2]!.off;
    const marks = input.marks.filter((m) => !(m.frame === frame && m.point === "hip" && m.side === "right"));
    const { readings } = measureTrial({ ...input, marks }).strides[2]!;
    expect(readings.half_width_m).toMatchObject({
      value: null,
      why: `The right hip is not marked in frame ${frame}.`,
    });
    expect(readings.stride_width_m.value).not.toBeNull();
  });

  it("both hips on one spot, as by a double press: what needs the hips is refused, not moved by half a hip's width", () => {
    const frame = frames[2]!.off;
    const left = input.marks.find((m) => m.frame === frame && m.point === "hip" && m.side === "left")!;
    const marks = input.marks.map((m) =>
      m.frame === frame && m.point === "hip" ? { ...m, xPx: left.xPx, yPx: left.yPx } : m,
    );
    const { readings } = measureTrial({ ...input, marks }).strides[2]!;
    expect(readings.half_width_m).toMatchObject({
      value: null,
      why: expect.stringContaining(`Both hips are marked on the very same spot in frame ${frame}`),
    });
    expect(readings.stride_width_m.value).not.toBeNull();
  });

  it("a missing stride between: refused where the feet do not take turns", () => {
    const gone = frames[2]!;
    const events = input.events.filter((e) => !(e.frame === gone.off && e.event === "blade_off"));
    const { strides } = measureTrial({ ...input, events });
    expect(strides.map((s) => s.side)).toEqual(["left", "right", "right", "left"]);
    for (const n of [1, 2]) {
      expect(strides[n]!.readings.stride_width_m).toMatchObject({
        value: null,
        why: expect.stringContaining("twice in a row"),
      });
    }
    expect(strides[2]!.readings.stride_rate_hz.value).toBeNull();
    expect(strides[2]!.readings.stride_length_m.value).toBeNull();
  });

  it("the first and the last stride say that they are", () => {
    const { strides } = measureTrial(input);
    expect(strides[0]!.readings.stride_width_m).toMatchObject({
      why: "The first stride has no blade-off before it.",
    });
    expect(strides[4]!.readings.stride_width_m).toMatchObject({
      why: "The last stride has no blade-off after it.",
    });
  });

  it("a stride that is alone says in one way what to do, not that it is the first and the last", () => {
    const events = input.events.filter(
      (e) => e.side !== "right" && e.frame <= Math.min(...input.events.filter(isLeftOn).map((o) => o.frame)),
    );
    const { strides } = measureTrial({ ...input, events });
    expect(strides).toHaveLength(1);
    const { readings } = strides[0]!;
    const whys = [
      readings.stride_width_m,
      readings.touchdown_to_track_midline_m,
      readings.stride_length_m,
      readings.stride_rate_hz,
    ].map((r) => (r.value === null ? r.why : "had"));
    expect(new Set(whys).size).toBe(1);
    expect(whys[0]).toMatch(/^Only one stride is picked so far\. Pick /);
  });

  it("swapped sides are noticed", () => {
    const swapped = input.marks.map((m) => ({
      ...m,
      side: m.side === "left" ? ("right" as const) : ("left" as const),
    }));
    const { warnings } = measureTrial({ ...input, marks: swapped });
    expect(warnings.map((w) => w.code)).toContain("blade-on-wrong-side");
  });
});
