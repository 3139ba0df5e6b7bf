import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { MeasureInput } from "../../src/kinematics/types.ts";
import type { Mark } from "../../src/study/types.ts";
import { frames, input } from "../helpers/exactTrial.ts";
import { seeded } from "../helpers/random.ts";

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
    // Was worked at for ever: every frame between two marks in real time was looked through.
    ["a clip slower than any camera", { speedFactor: 1e300 }, "no-such-frame-rate", "speed factor"],
    ["a clip faster than any camera", { speedFactor: 1e-9 }, "no-such-frame-rate", "speed factor"],
    ["frames closer than any camera's", { frameInterval: 1e-12 }, "no-such-frame-rate", "frames' times"],
    // Were answered with "± Infinity cm" and "NaN m".
    [
      "a mark good to more than any picture",
      { marks: changedMark({ uPx: 1e200 }) },
      "mark-too-unsure",
      "u_px",
    ],
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
    expect(refusal({ markSdPx: 1e308 }).code).toBe("bad-mark-sd");
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
