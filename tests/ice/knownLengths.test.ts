import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { Reading } from "../../src/reading.ts";
import type { KnownLength } from "../../src/study/types.ts";
import { byDefinition } from "../helpers/definitions.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { type Pinhole, pinhole } from "../helpers/pinhole.ts";
import { PLACEMENTS, ZONE } from "../helpers/placements.ts";
import { normal, seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

// Expected values: the simulated skater by the definitions; precision 3 for what lengths are worth.
const skater = simulateSkater({ ...ORDINARY, strides: 5, speed: 7, startX: 11.8, startY: 0.4 });
const alongAxis = pinhole([33, 0, 3], [18, 0], 65);

/** A 3 m bar across the lane at x. */
function bar(camera: Pinhole, x: number, length = 3): KnownLength {
  const [left, right] = [camera.see(x, length / 2, 0), camera.see(x, -length / 2, 0)];
  return { x1Px: left.xPx, y1Px: left.yPx, x2Px: right.xPx, y2Px: right.yPx, length };
}

function measure(camera: Pinhole, lengths: readonly KnownLength[]) {
  const film = { camera, fps: 60, zone: ZONE, noisePx: 0, slips: 0, random: seeded(1), statedSdPx: 1 };
  const { input, frames } = filmedTrial(skater, film);
  const readings = measureTrial({ ...input, iceReference: { kind: "known-lengths", lengths } });
  const atFrames = frames.map((f) => ({
    side: f.side,
    off: f.off / 60,
    nearest: f.nearest / 60,
    on: f.on / 60,
  }));
  return { readings, truth: (k: number) => byDefinition(skater, atFrames, k) };
}

function atFrame(reading: Reading) {
  if (reading.value === null) throw new Error(reading.why);
  return reading.atFrame!;
}

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

describe("lengths that lie askew to the view", () => {
  /** A bar over the whole lane whose ends are so far ahead of and behind square, marked to 1 px. */
  const askew = (camera: Pinhole, x: number, deg: number, random: () => number): KnownLength => {
    const ahead = 1.5 * Math.tan((deg * Math.PI) / 180);
    const [left, right] = [camera.see(x + ahead, 1.5, 0), camera.see(x - ahead, -1.5, 0)];
    const jitter = () => normal(random);
    return {
      x1Px: left.xPx + jitter(),
      y1Px: left.yPx + jitter(),
      x2Px: right.xPx + jitter(),
      y2Px: right.yPx + jitter(),
      length: 2 * Math.hypot(1.5, ahead),
    };
  };
  const camera = (hfovDeg: number, away: number) => pinhole([18 + away, 0, 3], [18, 0], hfovDeg);

  it.each([
    [65, 15, 10],
    [65, 15, -15],
    [45, 22, 10],
    [85, 13, 10],
  ])("are not taken for square: lens %d°, %d m away, %d° askew", (hfovDeg, away, deg) => {
    // Taken for square they make a width 1 / cos of it too large: 4 cm at 15°, 7 cm at 20°.
    const from = camera(hfovDeg, away);
    let [shown, held] = [0, 0];
    for (let seed = 1; seed <= 20; seed++) {
      const random = seeded(seed);
      const lengths = [14, 17.5, 21].map((x) => askew(from, x, deg, random));
      const { readings, truth } = measure(from, lengths);
      for (const k of [1, 2, 3]) {
        const width = readings.strides[k]!.readings.stride_width_m;
        if (width.value === null) continue;
        shown++;
        if (Math.abs(width.atFrame! - truth(k).stride_width_m) <= width.u95) held++;
      }
    }
    // The wide lens makes far lengths so small that a roll of a degree costs some widths their place.
    expect(shown).toBeGreaterThanOrEqual(48);
    expect(held).toBeGreaterThanOrEqual(0.9 * shown);
  });

  it("show at 20° askew no width but one whose ± holds the truth", () => {
    // Taken for square it would be 7 cm too large at ± 3: the lengths' own slope must cost it its ± or its place.
    const from = camera(65, 15);
    let [refused, held, wrong] = [0, 0, 0];
    for (let seed = 1; seed <= 20; seed++) {
      const random = seeded(seed);
      const { readings, truth } = measure(
        from,
        [14, 17.5, 21].map((x) => askew(from, x, 20, random)),
      );
      for (const k of [1, 2, 3]) {
        const width = readings.strides[k]!.readings.stride_width_m;
        if (width.value === null) refused++;
        else if (Math.abs(width.atFrame! - truth(k).stride_width_m) <= width.u95) held++;
        else wrong++;
      }
    }
    expect(refused + held + wrong).toBe(60);
    expect(wrong).toBeLessThanOrEqual(0.1 * (held + wrong));
  });

  it("give no width where a guess of the lens would rule: 30° askew", () => {
    const from = camera(65, 15);
    for (let seed = 1; seed <= 20; seed++) {
      const random = seeded(seed);
      const { readings } = measure(
        from,
        [14, 21].map((x) => askew(from, x, 30, random)),
      );
      for (const k of [1, 2, 3])
        expect(readings.strides[k]!.readings.stride_width_m).toMatchObject({
          value: null,
          why: expect.stringContaining("square to the view"),
        });
    }
  });

  it("are right beside the picture's middle too: a camera 12° off the lane's axis", () => {
    // A length that lies askew beside the middle is also sheared by the view: widths came out 1 to 4 cm off.
    const from = pinhole([18 + 10 * Math.cos(0.21), 10 * Math.sin(0.21), 3], [18, 0], 65);
    const { readings, truth } = measure(from, [bar(from, 12.3), bar(from, 22.3)]);
    const widths = readings.strides.map((s) => s.readings.stride_width_m);
    const shown = [1, 2, 3].filter((k) => widths[k]!.value !== null);
    expect(shown.length).toBeGreaterThanOrEqual(1);
    for (const k of shown)
      expect(Math.abs(atFrame(widths[k]!) - truth(k).stride_width_m)).toBeLessThan(0.003);
  });

  it("cost nothing where they lie square", () => {
    const u95 = (deg: number) => {
      const from = camera(65, 15);
      const width = measure(
        from,
        [14, 21].map((x) => askew(from, x, deg, seeded(x))),
      ).readings.strides[2]!.readings.stride_width_m;
      if (width.value === null) throw new Error(width.why);
      return width.u95;
    };
    expect(u95(0)).toBeLessThan(0.04);
    expect(u95(12)).toBeGreaterThan(1.5 * u95(0));
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
