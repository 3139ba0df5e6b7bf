import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import { residualsOf, rmsPx } from "../../src/ice/points/judgePoints.ts";
import { fitThroughLens } from "../../src/ice/points/pointFit.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { pinhole } from "../helpers/pinhole.ts";
import { PLACEMENTS } from "../helpers/placements.ts";
import { normal, seeded } from "../helpers/random.ts";

const camera = PLACEMENTS.diagonal;
const PICTURE = { width: camera.width, height: camera.height };
const PLACES = [
  [12.6, 1.5],
  [12.6, -1.5],
  [16.2, 1.5],
  [16.2, -1.5],
  [19.8, 1.5],
  [19.8, -1.5],
  [23.4, 1.5],
  [23.4, -1.5],
] as const;

function points(count = 8, noisePx = 0, seed = 1): IcePoint[] {
  const random = seeded(seed);
  const order = [0, 1, 6, 7, 2, 3, 4, 5].slice(0, count);
  return order.map((k) => {
    const [x, y] = PLACES[k]!;
    const seen = camera.see(x, y, 0);
    return {
      label: `P${k + 1}`,
      xPx: seen.xPx + noisePx * normal(random),
      yPx: seen.yPx + noisePx * normal(random),
      x,
      y,
    };
  });
}

const scaleOf = (list: readonly IcePoint[], markSd = 1) =>
  fitScale({ kind: "ice-points", points: list }, PICTURE, markSd);

function refusal(list: readonly IcePoint[], markSd = 1): MeasureError {
  try {
    scaleOf(list, markSd);
  } catch (error) {
    if (error instanceof MeasureError) return error;
    throw error;
  }
  throw new Error("nothing was refused");
}

const moved = (list: readonly IcePoint[], label: string, change: Partial<IcePoint>) =>
  list.map((p) => (p.label === label ? { ...p, ...change } : p));

describe("a bad ice point", () => {
  const p3 = points().find((p) => p.label === "P3")!;

  it("is named with what it disagrees by and how well the others agree", () => {
    const shifted = points(8, 1, 5).map((p) =>
      p.label === "P3" ? { ...p, xPx: p3.xPx + 30, yPx: p3.yPx - 20 } : p,
    );
    const { coach, data } = refusal(shifted);
    const said = /P3 disagrees by (\d+) px; without it the fit is (\d+\.\d) px/.exec(coach)!;
    // √(30² + 20²) = 36 px, seen from a fit of the others that is 1 px uncertain itself
    expect(Number(said[1])).toBeGreaterThan(30);
    expect(Number(said[1])).toBeLessThan(42);
    expect(Number(said[2])).toBeLessThan(1.6);
    expect(data.worst).toBe("P3");
  });

  it("is found even where another one has the largest residual", () => {
    // The far corner of a plane bends to a wrong point until a neighbour looks worse.
    let differs = 0;
    for (const label of ["P1", "P2", "P3", "P4", "P5", "P6", "P7", "P8"]) {
      const at = points().find((p) => p.label === label)!;
      const list = moved(points(), label, { x: at.x + 0.6 });
      const error = refusal(list);
      expect(error.coach).toMatch(new RegExp(`${label} disagrees by .*without it the fit is 0\\.0 px`));
      differs++;
    }
    expect(differs).toBe(8);
  });

  it("warns and says the same where the misfit is small", () => {
    const { warnings } = scaleOf(
      moved(points(), "P4", { xPx: points().find((p) => p.label === "P4")!.xPx + 12 }),
    ).summary;
    expect(warnings.find((w) => w.code === "ice-points-fit-poorly")!.text).toMatch(
      /P4 disagrees by .* px; without it the fit is 0\.0 px/,
    );
  });

  it("is not named among five: too few are left to agree", () => {
    const error = refusal(moved(points(5), "P7", { x: 19 }));
    expect(error.coach).not.toContain("without it");
  });

  it("is not named where all are off: no single one is to blame", () => {
    expect(refusal(points(8, 6, 3)).coach).not.toContain("without it");
  });

  it("weighs by its taped uncertainty: a place known to 30 cm may be 30 cm off", () => {
    const off = moved(points(), "P3", { x: p3.x + 0.3, u: 0.3 });
    const { summary } = scaleOf(off);
    expect(summary.warnings).toEqual([]);
    expect(summary.camera!.focalPx).toBeCloseTo(camera.focalPx, -1);
  });
});

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

describe("an ice point marked again on the last frame", () => {
  const again = (list: readonly IcePoint[], label: string, dx: number, dy: number) => {
    const p = list.find((q) => q.label === label)!;
    const rechecks = [{ frame: 240, label, xPx: p.xPx + dx, yPx: p.yPx + dy }];
    return fitScale({ kind: "ice-points", points: list, rechecks }, PICTURE, 1).summary.warnings;
  };

  it("says that the camera moved when it is more than 3 px off", () => {
    const [warning] = again(points(), "P3", 2, 3);
    expect(warning!.code).toBe("camera-moved");
    expect(warning!.text).toMatch(/frame 240 ice point P3 is 3\.6 px/); // √(2² + 3²)
  });

  it("is content with 3 px, and with a point that is no longer there", () => {
    expect(again(points(), "P3", 2, 2.2)).toEqual([]);
    const rechecks = [{ frame: 240, label: "gone", xPx: 5, yPx: 5 }];
    expect(fitScale({ kind: "ice-points", points: points(), rechecks }, PICTURE, 1).summary.warnings).toEqual(
      [],
    );
  });

  it("shows a tripod turned by a fifth of a degree", () => {
    // 0.1° at 1507 px is 2.6 px in the middle; 0.2° is over the limit anywhere.
    const aim = Math.atan2(8.5, 8) + (0.2 * Math.PI) / 180;
    const bumped = pinhole([10, -8.5, 3], [10 + 11.67 * Math.cos(aim), -8.5 + 11.67 * Math.sin(aim)], 65);
    const p = points().find((q) => q.label === "P5")!;
    const seen = bumped.see(p.x, p.y, 0);
    expect(again(points(), "P5", seen.xPx - p.xPx, seen.yPx - p.yPx)[0]!.code).toBe("camera-moved");
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

describe("an ice point just outside the picture", () => {
  const wide = [...points(), { label: "P9", x: 11, y: -1.5, ...camera.see(11, -1.5, 0) }];

  it("is used, and named in a warning: a painted line may have been extended beyond the edge", () => {
    expect(wide[8]!.xPx).toBeLessThan(-0.5);
    const { summary, hull } = scaleOf(wide);
    expect(summary.warnings.map((w) => w.code)).toEqual(["ice-point-outside-picture"]);
    expect(summary.warnings[0]!.text).toContain("P9");
    expect(Math.min(...hull.map((p) => p.x))).toBe(11);
  });

  it("is refused where most points are: then the picture's size is wrong", () => {
    const small = { width: 700, height: 500 };
    expect(() => fitScale({ kind: "ice-points", points: points() }, small, 1)).toThrow(
      expect.objectContaining({ code: "ice-point-outside-picture" }),
    );
  });
});

describe("ice points that are refused", () => {
  it.each([
    ["three points", points(3), "too-few-ice-points", "at least four"],
    ["no points", [], "too-few-ice-points", "at least four"],
    ["not a number", moved(points(), "P2", { xPx: Number.NaN }), "ice-point-not-a-number", "P2"],
    [
      "an infinite place",
      moved(points(), "P2", { y: Number.POSITIVE_INFINITY }),
      "ice-point-not-a-number",
      "P2",
    ],
    ["far outside the picture", moved(points(), "P7", { xPx: 2900 }), "ice-point-outside-picture", "P7"],
    ["the same place twice", moved(points(), "P3", { x: 12.6, y: 1.5 }), "ice-points-identical", "P1 and P3"],
  ] as const)("%s", (_, list, code, name) => {
    const error = refusal(list);
    expect(error.code).toBe(code);
    expect(error.coach).toContain(name);
  });

  it("three of four on one line, by name", () => {
    const line = [
      [12.6, 0, "P1"],
      [16, 0, "P2"],
      [20, 0, "P3"],
      [18, 1.5, "P4"],
    ] as const;
    const list = line.map(([x, y, label]) => ({ label, ...camera.see(x, y, 0), x, y }));
    const error = refusal(list);
    expect(error.code).toBe("ice-points-on-a-line");
    expect(error.coach).toContain("P1, P2 and P3 lie on one line");
  });

  it("all but one on a line, however many", () => {
    const list = [...[13, 15, 17, 19, 21].map((x) => [x, 0.01 * (x % 2)] as const), [18, 1.4] as const].map(
      ([x, y], k) => ({ label: `P${k + 1}`, ...camera.see(x, y, 0), x, y }),
    );
    expect(refusal(list).code).toBe("ice-points-on-a-line");
  });

  it("mirrored places: the camera would be under the ice", () => {
    const error = refusal(points().map((p) => ({ ...p, y: -p.y })));
    expect(error.code).toBe("ice-points-mirrored");
    expect(error.coach).toContain("left");
  });
});
