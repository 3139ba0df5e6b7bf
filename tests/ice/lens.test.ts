import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { IcePoint, Lens } from "../../src/study/types.ts";
import { exactly, Sources } from "../../src/uncertainty/uncertain.ts";
import { PLACEMENTS, type Placement } from "../helpers/placements.ts";
import { normal, seeded } from "../helpers/random.ts";

/** The lens polynomial by hand: a point at normalised radius r is seen at r (1 + k1 r² + k2 r⁴). */
function through(lens: Lens, place: Placement, x: number, y: number) {
  const camera = PLACEMENTS[place];
  const { xPx, yPx } = camera.see(x, y, 0);
  const [cx, cy] = [(camera.width - 1) / 2, (camera.height - 1) / 2];
  const r2 = ((xPx - cx) ** 2 + (yPx - cy) ** 2) / camera.focalPx ** 2;
  const stretch = 1 + lens.k1 * r2 + (lens.k2 ?? 0) * r2 * r2;
  return { xPx: cx + (xPx - cx) * stretch, yPx: cy + (yPx - cy) * stretch };
}

function points(lens: Lens, place: Placement, noisePx: number, seed: number, columns = 4): IcePoint[] {
  const random = seeded(seed);
  return Array.from({ length: columns }, (_, k) => 12.6 + (10.8 * k) / (columns - 1)).flatMap((x) =>
    [1.5, -1.5].map((y): IcePoint => {
      const seen = through(lens, place, x, y);
      const [xPx, yPx] = [seen.xPx + noisePx * normal(random), seen.yPx + noisePx * normal(random)];
      return { label: `${x.toFixed(1)}, ${y}`, xPx, yPx, x, y };
    }),
  );
}

const PICTURE = { width: 1920, height: 1080 };
const scaleOf = (list: readonly IcePoint[], lens?: Lens, markSd = 1) =>
  fitScale({ kind: "ice-points", points: list }, PICTURE, markSd, lens);

describe("lens distortion found from ice points", () => {
  it.each(["diagonal", "side"] as const)(
    "is found exactly from perfect marks (%s), and taken out everywhere",
    (place) => {
      const lens = { k1: -0.12 };
      const scale = scaleOf(points(lens, place, 0, 1));
      const found = scale.summary.lens!;
      if (!("from" in found)) throw new Error(found.why);
      expect(found.from).toBe("ice points");
      expect(found.k1).toBeCloseTo(-0.12, 5);
      expect(found.k2).toBe(0);
      expect(scale.summary.rmsPx).toBeLessThan(1e-4);
      const on = scale.toIce(through(lens, place, 17, 0.4))!;
      expect(Math.hypot(on.x - 17, on.y - 0.4)).toBeLessThan(1e-4);
      expect(scale.toPicture(20, -1)!.xPx).toBeCloseTo(through(lens, place, 20, -1).xPx, 3);
    },
  );

  it("finds k2 as well where enough points show it", () => {
    const lens = { k1: -0.25, k2: 0.1 };
    const found = scaleOf(points(lens, "side", 0, 1, 7), undefined, 0.1).summary.lens!;
    if (!("from" in found)) throw new Error(found.why);
    expect(found.k1).toBeCloseTo(-0.25, 4);
    expect(found.k2).toBeCloseTo(0.1, 3);
  });

  it("is within its interval, and places within theirs, in 45 of 50 noisy pictures or more", () => {
    const lens = { k1: -0.15 };
    let coefficient = 0;
    let place = 0;
    for (let seed = 1; seed <= 50; seed++) {
      const scale = scaleOf(points(lens, "side", 1, seed));
      const found = scale.summary.lens!;
      if (!("from" in found)) throw new Error(found.why);
      if (Math.abs(found.k1 + 0.15) <= found.u95K1!) coefficient++;
      const mark = through(lens, "side", 14, -0.8);
      const on = scale.ground(new Sources()).place({ u: exactly(mark.xPx), v: exactly(mark.yPx) }, 0)!;
      if (Math.abs(on.y.value + 0.8) <= on.y.u95) place++;
    }
    expect(coefficient).toBeGreaterThanOrEqual(45);
    expect(place).toBeGreaterThanOrEqual(45);
  });

  it("is claimed of a straight lens in no more than a few noisy pictures of a hundred", () => {
    let claimed = 0;
    for (let seed = 1; seed <= 100; seed++) {
      if ("from" in scaleOf(points({ k1: 0 }, "diagonal", 1, seed)).summary.lens!) claimed++;
    }
    // The threshold is one in a hundred: at most 5 of 100 (binomial, 99.9 %).
    expect(claimed).toBeLessThanOrEqual(5);
  });

  it("is not estimated from five points, nor where a bad point explains as much, and says so", () => {
    const few = scaleOf(points({ k1: 0 }, "side", 0, 1).slice(0, 5)).summary.lens!;
    expect(few).toMatchObject({ value: null, why: expect.stringContaining("six or more") });
    const straight = scaleOf(points({ k1: 0 }, "side", 0, 1)).summary.lens!;
    expect(straight).toMatchObject({ value: null, why: expect.stringContaining("no lens distortion") });
    const bad = points({ k1: 0 }, "side", 1, 2).map((p, k) => (k === 3 ? { ...p, xPx: p.xPx + 9 } : p));
    const { lens, warnings } = scaleOf(bad).summary;
    expect(lens).toMatchObject({ value: null, why: expect.stringContaining("disagrees") });
    expect(warnings.map((w) => w.text).join()).toContain(bad[3]!.label);
  });

  it("is offered where six points cannot tell it from one bad point", () => {
    let offered = 0;
    for (let seed = 1; seed <= 15; seed++) {
      const list = points({ k1: -0.2 }, "diagonal", 1, seed, 3);
      try {
        const { lens } = scaleOf(list).summary;
        expect(lens && "from" in lens ? lens.k1 : -0.2).toBeLessThan(0);
      } catch (error) {
        if (!(error instanceof MeasureError)) throw error;
        expect(error.coach).toContain("A lens that bends lines");
        offered++;
      }
    }
    expect(offered).toBeGreaterThan(0);
  });

  it("takes a given lens as given", () => {
    const lens = { k1: -0.2, k2: 0.05 };
    const scale = scaleOf(points(lens, "diagonal", 0, 1), lens);
    expect(scale.summary.lens).toEqual({ from: "given", k1: -0.2, k2: 0.05, u95K1: null });
    expect(scale.summary.rmsPx).toBeLessThan(1e-5);
  });

  it("refuses a given lens that folds the picture", () => {
    for (const k1 of [-3, Number.NaN]) {
      expect(() => scaleOf(points({ k1: 0 }, "side", 0, 1), { k1 })).toThrow(MeasureError);
    }
  });
});
