import { describe, expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import { residualsOf, rmsPx } from "../../src/ice/points/judgePoints.ts";
import { fitThroughLens } from "../../src/ice/points/pointFit.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { pinhole } from "../helpers/pinhole.ts";
import { normal, seeded } from "../helpers/random.ts";
import { camera, moved, PICTURE, points, refusal, scaleOf } from "./eightPoints.ts";

describe("a scale from ice points", () => {
  it("finds the camera that took the picture", () => {
    const { summary, residuals, hull } = scaleOf(points());
    expect(summary).toMatchObject({ kind: "ice-points", points: 8, warnings: [] });
    expect(summary.camera!.x).toBeCloseTo(10, 5);
    expect(summary.camera!.y).toBeCloseTo(-8.5, 5);
    expect(summary.camera!.height).toBeCloseTo(3, 5);
    expect(summary.camera!.focalPx).toBeCloseTo(camera.focalPx, 3);
    expect(residuals).toHaveLength(8);
    expect(hull).toHaveLength(4);
  });

  it("goes from the picture to the ice and back", () => {
    const scale = scaleOf(points());
    const seen = camera.see(17, 0.4, 0);
    const place = scale.toIce(seen)!;
    expect(place.x).toBeCloseTo(17, 6);
    expect(place.y).toBeCloseTo(0.4, 6);
    expect(scale.toPicture(17, 0.4)!.xPx).toBeCloseTo(seen.xPx, 5);
    expect(scale.toPicture(17, 0.4, 0.8)!.yPx).toBeCloseTo(camera.see(17, 0.4, 0.8).yPx, 3);
  });

  it("states a focal length that is within its interval in 90 of 100 noisy pictures or more", () => {
    let held = 0;
    for (let seed = 1; seed <= 100; seed++) {
      const { focalPx, u95FocalPx } = scaleOf(points(8, 1, seed)).summary.camera!;
      if (Math.abs(focalPx - camera.focalPx) <= u95FocalPx) held++;
    }
    expect(held).toBeGreaterThanOrEqual(90);
  });

  it("states a place of the camera that is within its intervals as often, and intervals not far too wide", () => {
    const held = [0, 0, 0];
    const ratio = [0, 0, 0];
    const random = seeded(11);
    for (let seed = 1; seed <= 100; seed++) {
      // Principal points lie about the middle, by 2 % of the picture's width in the two cameras of boards.json.
      const [dx, dy] = [0.02 * 1920 * normal(random), 0.02 * 1920 * normal(random)];
      const shifted = points(8, 1, seed).map((p) => ({ ...p, xPx: p.xPx + dx, yPx: p.yPx + dy }));
      const { x, y, height, u95Place } = scaleOf(shifted).summary.camera!;
      [x - 10, y + 8.5, height - 3].forEach((off, k) => {
        if (Math.abs(off) <= u95Place[k]!) held[k]! += 1;
        ratio[k]! += (1.96 * off) ** 2 / u95Place[k]! ** 2 / 100;
      });
    }
    for (const k of [0, 1, 2]) {
      expect(held[k]).toBeGreaterThanOrEqual(90);
      // Mean square of normal errors in their own SD is 1, with SD sqrt(2/100) over 100 pictures.
      expect(Math.abs(ratio[k]! - 1)).toBeLessThan(0.5);
    }
  });

  // By definition: the point where the mark is seen on the ice, against where it was taped.
  it("tells the part of the misfit that lies across the lane", () => {
    const marked = points(8, 1, 3);
    const scale = scaleOf(marked);
    const off = marked.map((p) => {
      const seen = scale.toIce(p)!;
      return [seen.x - p.x, seen.y - p.y] as const;
    });
    const rms = (values: readonly number[]) =>
      Math.sqrt(values.reduce((s, v) => s + v * v, 0) / values.length);
    expect(scale.summary.rmsAcross).toBeCloseTo(rms(off.map(([, y]) => y)), 9);
    expect(scale.summary.rms! ** 2 - scale.summary.rmsAcross! ** 2).toBeCloseTo(
      rms(off.map(([x]) => x)) ** 2,
      9,
    );
  });

  it("has about 1 marking SD of misfit when marks are as good as stated", () => {
    // expected square: 2n - 8 = 8 of 16, so the root mean square distance of 8 points from their plane is 1 px [closed form]
    const squares = Array.from({ length: 60 }, (_, k) => {
      const list = points(8, 1, k + 1);
      return rmsPx(residualsOf(list, fitThroughLens(list, PICTURE, 1).plane)) ** 2;
    });
    const mean = squares.reduce((a, b) => a + b, 0) / squares.length;
    expect(mean).toBeGreaterThan(0.8);
    expect(mean).toBeLessThan(1.2);
  });

  it("is less certain when the points' own places are", () => {
    const taped = scaleOf(points());
    const doubtful = scaleOf(points().map((p) => ({ ...p, u: 0.03 })));
    expect(doubtful.summary.camera!.u95FocalPx).toBeGreaterThan(1.5 * taped.summary.camera!.u95FocalPx);
    expect(doubtful.summary.warnings).toEqual([]);
  });

  it("warns that four or five points cannot show a bad one", () => {
    expect(scaleOf(points(4)).summary.warnings.map((w) => w.code)).toEqual(["few-ice-points"]);
    expect(scaleOf(points(5)).summary.warnings[0]!.text).toContain("cannot show a bad one");
    expect(scaleOf(points(6)).summary.warnings).toEqual([]);
  });

  it("warns over 1.4 marking SD, naming the worst point, and widens", () => {
    const { xPx } = points().find((p) => p.label === "P4")!;
    const { summary } = scaleOf(moved(points(), "P4", { xPx: xPx + 7 }));
    expect(summary.warnings.map((w) => w.code)).toContain("ice-points-fit-poorly");
    expect(summary.warnings.find((w) => w.code === "ice-points-fit-poorly")!.text).toContain("P4");
    expect(summary.camera!.u95FocalPx).toBeGreaterThan(1.4 * scaleOf(points()).summary.camera!.u95FocalPx);
  });

  it("refuses over 3 marking SD, naming the worst point", () => {
    const error = refusal(moved(points(), "P4", { x: 17.2 }));
    expect(error.code).toBe("ice-points-disagree");
    expect(error.coach).toContain("P4");
  });

  it("says that no camera sees a picture that is sheared", () => {
    // A picture whose rows slide sideways, as no lens and no square pixels make it: 35 px for every 100 rows.
    const sheared = points().map((p) => ({ ...p, xPx: p.xPx + 0.35 * (p.yPx - 540) }));
    expect(scaleOf(sheared, 0.5).summary.warnings.map((w) => w.code)).toEqual(["no-camera-sees-this"]);
  });

  it("finds nothing wrong where right angles say next to nothing of the focal length", () => {
    // Looking down the lane from afar (Zhang 2000: degenerate view).
    const afar = pinhole([49.5, 1, 3.5], [15, 0], 16, 1280, 720);
    for (let seed = 1; seed <= 40; seed++) {
      const random = seeded(seed);
      const list = [1, 8, 15, 22, 29].flatMap((x) =>
        [1.5, -1.5].map((y): IcePoint => {
          const seen = afar.see(x, y, 0);
          const [xPx, yPx] = [seen.xPx + 1.5 * normal(random), seen.yPx + 1.5 * normal(random)];
          return { label: `${x}, ${y}`, xPx, yPx, x, y };
        }),
      );
      const { summary } = fitScale({ kind: "ice-points", points: list }, { width: 1280, height: 720 }, 1.5);
      expect(summary.warnings).toEqual([]);
    }
  });

  it("weighs each point by its own uncertainty", () => {
    const wild = moved(points(), "P4", { xPx: points().find((p) => p.label === "P4")!.xPx + 20, uPx: 1000 });
    expect(scaleOf(wild).summary.camera!.focalPx).toBeCloseTo(camera.focalPx, -1);
  });
});

describe("a thin band of points", () => {
  // A bench camera far away: 12 m of lane with both its edges within 52 rows of the picture.
  const bench = pinhole([18.3, -25, 3], [18.3, 0], 30);
  const band = [12.3, 16.3, 20.3, 24.3].flatMap((x) =>
    [1.5, -1.5].map((y): IcePoint => ({ label: `${x}, ${y}`, ...bench.see(x, y, 0), x, y })),
  );

  it("is no line while it is many marking SD high; its covariance says what it is worth", () => {
    const { summary } = scaleOf(band, 1.5);
    expect(summary.rmsPx).toBeLessThan(1e-6);
  });

  it("is one where it is no higher than the marks' noise", () => {
    expect(refusal(band, 30).code).toBe("ice-points-on-a-line");
  });
});
