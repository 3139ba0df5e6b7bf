import { describe, expect, it } from "vitest";
import type { KnownLength } from "../../src/study/types.ts";
import { type Pinhole, pinhole } from "../helpers/pinhole.ts";
import { normal, seeded } from "../helpers/random.ts";
import { atFrame, bar, measure } from "./lengthsOnLane.ts";

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
