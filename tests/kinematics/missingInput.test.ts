import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { frames, input } from "../helpers/exactTrial.ts";

const isLeftOn = (e: { event: string; side: string }) => e.event === "blade_on" && e.side === "left";

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
