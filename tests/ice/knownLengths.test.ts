import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { KnownLength } from "../../src/study/types.ts";
import { type Pinhole, pinhole } from "../helpers/pinhole.ts";
import { PLACEMENTS } from "../helpers/placements.ts";
import { alongAxis, atFrame, bar, measure, skater } from "./lengthsOnLane.ts";

describe("two known lengths at different distances", () => {
  const { readings, truth } = measure(alongAxis, [bar(alongAxis, 13), bar(alongAxis, 23)]);

  it.each(["stride_width_m", "blade_separation_m", "touchdown_to_track_midline_m"] as const)(
    "%s is right to 0.2 %% off the axis too",
    (quantity) => {
      // our simulation: two lengths bring the bias below 0.1 % (0.07 %); 0.2 % of a width is 2 mm
      for (const k of [1, 2, 3]) {
        const got = atFrame(readings.strides[k]!.readings[quantity]);
        expect(Math.abs(got - truth(k)[quantity])).toBeLessThan(0.002);
      }
    },
  );

  it("says what they cannot show", () => {
    const { readings: middle } = readings.strides[2]!;
    expect(middle.stride_length_m).toMatchObject({ value: null, why: expect.stringContaining("along it") });
    expect(middle.half_width_m).toMatchObject({
      value: null,
      why: expect.stringContaining("where the camera stands"),
    });
    expect(readings.scale).toMatchObject({
      kind: "known-lengths",
      points: 2,
      camera: null,
      rmsPx: null,
      // As with four ice points, nothing is left over to show a wrong one.
      warnings: [{ code: "few-known-lengths" }],
    });
  });

  it("still has every time and rate", () => {
    expect(readings.strides[2]!.readings.stride_rate_hz.value).not.toBeNull();
  });
});

describe("one known length", () => {
  it("refuses what needs two frames, with the reason", () => {
    const { readings } = measure(alongAxis, [bar(alongAxis, 18)]);
    for (const quantity of ["stride_width_m", "touchdown_to_track_midline_m"] as const) {
      expect(readings.strides[2]!.readings[quantity]).toMatchObject({
        value: null,
        why: expect.stringContaining("second length"),
      });
    }
    expect(readings.scale!.warnings.map((w) => w.code)).toEqual(["one-known-length"]);
  });

  it("gives blade separation near it, with the truth in its interval, less surely the farther away", () => {
    const at = (x: number) => {
      const { readings, truth } = measure(alongAxis, [bar(alongAxis, x)]);
      const reading = readings.strides[2]!.readings.blade_separation_m;
      return { reading, truth: truth(2).blade_separation_m };
    };
    const x = skater.blade("left", skater.offs[2]!.time).x;
    const near = at(x);
    const metreOff = at(x + 1);
    for (const { reading, truth } of [near, metreOff]) {
      if (reading.value === null) throw new Error(reading.why);
      expect(Math.abs(reading.atFrame! - truth)).toBeLessThan(reading.u95);
    }
    expect((metreOff.reading as { u95: number }).u95).toBeGreaterThan((near.reading as { u95: number }).u95);
    const far = at(x - 5).reading;
    expect(far.value === null || far.u95 > 0.07).toBe(true);
  });

  it("counts lengths at one distance as one", () => {
    const { readings } = measure(alongAxis, [bar(alongAxis, 18), bar(alongAxis, 18, 2)]);
    expect(readings.strides[2]!.readings.stride_width_m.value).toBeNull();
    expect(readings.scale!.warnings[0]!.text).toContain("same distance");
  });
});

describe("views in which known lengths give no width", () => {
  it("from the side, with lengths along the lane", () => {
    const { side } = PLACEMENTS;
    const along = (y: number): KnownLength => {
      const [a, b] = [side.see(16, y, 0), side.see(19, y, 0)];
      return { x1Px: a.xPx, y1Px: a.yPx, x2Px: b.xPx, y2Px: b.yPx, length: 3 };
    };
    const { readings } = measure(side, [along(-1.5), along(1.5)]);
    for (const quantity of ["stride_width_m", "blade_separation_m"] as const) {
      expect(readings.strides[2]!.readings[quantity]).toMatchObject({
        value: null,
        why: expect.stringContaining("crosses the view"),
      });
    }
  });

  it("at 45°, where a length across the lane is tilted in the picture", () => {
    const { diagonal } = PLACEMENTS;
    const { readings } = measure(diagonal, [bar(diagonal, 15), bar(diagonal, 21)]);
    expect(readings.strides[2]!.readings.stride_width_m).toMatchObject({
      value: null,
      why: expect.stringContaining("tilted"),
    });
    expect(readings.scale!.warnings.map((w) => w.code)).toContain("known-length-tilted");
  });
});

describe("a lens that bends known lengths", () => {
  /** As k1 bends it, by the formula of Brown (1971); focal length and middle of the picture as in `pinhole`. */
  const bent = (camera: Pinhole, k1: number): Pinhole => ({
    ...camera,
    see(x, y, z) {
      const [cx, cy] = [(camera.width - 1) / 2, (camera.height - 1) / 2];
      const { xPx, yPx } = camera.see(x, y, z);
      const [a, b] = [(xPx - cx) / camera.focalPx, (yPx - cy) / camera.focalPx];
      const stretch = 1 + k1 * (a * a + b * b);
      return { xPx: cx + camera.focalPx * a * stretch, yPx: cy + camera.focalPx * b * stretch };
    },
  });

  it.each([-0.15, -0.28])("changes widths by less than a third of their ±, said or not: k1 = %d", (k1) => {
    for (const from of [
      [33, 0, 3],
      [28, 0, 2],
      [28, -1, 2],
    ] as const) {
      const camera = bent(pinhole(from, [18, 0], 65), k1);
      const { readings, truth } = measure(camera, [bar(camera, 13.5), bar(camera, 22)]);
      let seen = 0;
      for (const k of [1, 2, 3]) {
        for (const name of ["stride_width_m", "touchdown_to_track_midline_m"] as const) {
          const reading = readings.strides[k]!.readings[name];
          if (reading.value === null) continue;
          seen++;
          expect(Math.abs(reading.atFrame! - truth(k)[name])).toBeLessThan(reading.u95 / 3);
        }
      }
      expect(seen).toBeGreaterThan(3);
    }
  });

  it("is not passed over in silence where it is given", () => {
    const reference = { kind: "known-lengths", lengths: [bar(alongAxis, 13), bar(alongAxis, 23)] } as const;
    const picture = { width: 1920, height: 1080 };
    expect(fitScale(reference, picture, 1, { k1: -0.15 }).summary.lens).toEqual({
      value: null,
      why: expect.stringContaining("make no use of the lens"),
    });
    expect(fitScale(reference, picture, 1).summary.lens).toBeNull();
  });
});

describe("known lengths that fit poorly", () => {
  const PICTURE = { width: 1920, height: 1080 };
  /** Three bars; the middle one taped wrong by some metres. */
  const codesWith = (wrong: number) =>
    fitScale(
      {
        kind: "known-lengths",
        lengths: [bar(alongAxis, 13), bar(alongAxis, 18, 3 + wrong), bar(alongAxis, 23)].map((l) => ({
          ...l,
          length: 3,
        })),
      },
      PICTURE,
      1,
    ).summary.warnings.map((w) => w.code);

  it("by more than marking explains and less than nobody believes are told; those that agree are not", () => {
    expect(codesWith(0)).not.toContain("known-lengths-fit-poorly");
    expect(codesWith(0.03)).toContain("known-lengths-fit-poorly");
  });
});

describe("known lengths that are refused", () => {
  const PICTURE = { width: 1920, height: 1080 };
  const good = bar(alongAxis, 18);

  it.each([
    ["none", [], "no-known-length"],
    ["no length", [{ ...good, length: 0 }], "known-length-not-a-number"],
    ["not a number", [{ ...good, x1Px: Number.NaN }], "known-length-not-a-number"],
    ["outside the picture", [{ ...good, x1Px: -30 }], "known-length-outside-picture"],
    ["one point twice", [{ ...good, x2Px: good.x1Px, y2Px: good.y1Px }], "known-length-too-short"],
    [
      "the farther looking larger",
      [{ ...good }, { ...bar(alongAxis, 23), length: 6 }],
      "known-lengths-disagree",
    ],
    [
      "three that disagree",
      [bar(alongAxis, 13), { ...good, length: 3.3 }, bar(alongAxis, 23)],
      "known-lengths-disagree",
    ],
  ] as const)("%s", (_, lengths, code) => {
    let thrown: unknown;
    try {
      fitScale({ kind: "known-lengths", lengths }, PICTURE, 1);
    } catch (error) {
      thrown = error;
    }
    expect(thrown).toBeInstanceOf(MeasureError);
    expect((thrown as MeasureError).code).toBe(code);
  });

  it("three that agree have a small misfit", () => {
    const { summary } = fitScale(
      { kind: "known-lengths", lengths: [13, 18, 23].map((x) => bar(alongAxis, x)) },
      PICTURE,
      1,
    );
    expect(summary.rmsPx).toBeLessThan(0.5);
    expect(summary.warnings).toEqual([]);
  });
});
