import { describe, expect, it } from "vitest";
import { focalLengths } from "../../src/ice/camera/camera.ts";
import { fitPlane } from "../../src/ice/camera/fitPlane.ts";
import { directLinear, type Homography, iceToPicture, invert } from "../../src/ice/camera/homography.ts";
import { residualsOf, rmsPx } from "../../src/ice/points/judgePoints.ts";
import { pointGround } from "../../src/ice/points/pointGround.ts";
import { deriveOne, exactly, Sources } from "../../src/uncertainty/uncertain.ts";
import { PUBLISHED_H, PUBLISHED_POINTS } from "../helpers/publishedCamera.ts";

// Every expected number: docs/references.md 4.2 [computed: OpenCV/numpy].
const exact = PUBLISHED_POINTS.map(([x, y, uPx, vPx]) => ({ x, y, uPx, vPx }));
const noisy = PUBLISHED_POINTS.map(([x, y, , , uPx, vPx]) => ({ x, y, uPx, vPx }));
const likeliest = fitPlane(noisy.map((p) => ({ ...p, markSdPx: 1, placeSd: 0 })))!.homography;
const PIXELS = [700, 600, 1250, 640] as const;

function largestDifference(got: Homography, want: readonly number[], relative: boolean): number {
  return Math.max(
    ...want.map((value, k) => Math.abs(got[k]! / got[8]! - value) / (relative ? Math.abs(value) : 1)),
  );
}

function sumOfSquares(h: Homography): number {
  return noisy.reduce((sum, p) => {
    const [u, v] = iceToPicture(h, p.x, p.y);
    return sum + (u - p.uPx) ** 2 + (v - p.vPx) ** 2;
  }, 0);
}

function backProjected(h: Homography) {
  const inverse = invert(h);
  const [ax, ay] = iceToPicture(inverse, PIXELS[0], PIXELS[1]);
  const [bx, by] = iceToPicture(inverse, PIXELS[2], PIXELS[3]);
  return { ax, ay, bx, by, distance: Math.hypot(bx - ax, by - ay) };
}

describe("homography of the published camera", () => {
  it("is found exactly from exact projections by the normalised direct linear transform", () => {
    // published as 4e-11: what the nine decimals of the projections allow
    expect(largestDifference(directLinear(exact), PUBLISHED_H.exact, true)).toBeLessThan(4.5e-11);
  });

  it("agrees with the published transform of noisy points, and of four of them", () => {
    const h = directLinear(noisy);
    expect(largestDifference(h, PUBLISHED_H.noisyDirect, true)).toBeLessThan(1e-9);
    expect(sumOfSquares(h)).toBeCloseTo(2.094912047, 8);
    const four = directLinear([0, 4, 5, 6].map((k) => noisy[k]!));
    expect(largestDifference(four, PUBLISHED_H.noisyFour, true)).toBeLessThan(1e-9);
  });

  it("agrees with the published most likely homography", () => {
    expect(largestDifference(likeliest, PUBLISHED_H.noisyLikeliest, true)).toBeLessThan(1e-5);
    expect(Math.abs(sumOfSquares(likeliest) - 2.010595846)).toBeLessThan(1e-6);
  });

  it.each([
    ["exact", directLinear(exact), [-2.283775931, -0.192599218, 3.496515762, -2.440902162, 6.202147869]],
    ["direct", directLinear(noisy), [-2.284373396, -0.191074628, 3.498512474, -2.438236611, 6.204152316]],
    ["likeliest", likeliest, [-2.284226531, -0.189784929, 3.497598459, -2.441261839, 6.204727915]],
  ] as const)("puts two picture points on the ice (%s)", (_, h, want) => {
    const { ax, ay, bx, by, distance } = backProjected(h);
    for (const [k, got] of [ax, ay, bx, by, distance].entries()) expect(got).toBeCloseTo(want[k]!, 7);
  });

  it("gives both focal lengths", () => {
    const pairs = [
      [directLinear(exact), 1800, 1800],
      [directLinear(noisy), 1798.435519, 1801.838425],
      [likeliest, 1798.977586, 1801.819823],
    ] as const;
    for (const [h, perpendicular, equalUnits] of pairs) {
      const f = focalLengths(h, 960, 540);
      expect(f.perpendicular).toBeCloseTo(perpendicular, 4);
      expect(f.equalUnits).toBeCloseTo(equalUnits, 4);
    }
  });
});

describe("uncertainty of a distance between two picture points", () => {
  const points = noisy.map((p, k) => ({ label: `P${k + 1}`, xPx: p.uPx, yPx: p.vPx, x: p.x, y: p.y }));
  const plane = fitPlane(noisy.map((p) => ({ ...p, markSdPx: 1, placeSd: 0 })))!;

  function distance(clickSd: number) {
    const sources = new Sources();
    const ground = pointGround(
      plane,
      { seen: null, usable: null },
      1,
      { hull: [], offIceWhy: null },
      sources,
    );
    const click = (value: number) => (clickSd === 0 ? exactly(value) : sources.add(value, clickSd));
    const a = ground.place({ u: click(PIXELS[0]), v: click(PIXELS[1]) }, 0)!;
    const b = ground.place({ u: click(PIXELS[2]), v: click(PIXELS[3]) }, 0)!;
    return deriveOne((ax, ay, bx, by) => Math.hypot(bx - ax, by - ay), [a.x, a.y, b.x, b.y]);
  }

  it("from the ice points alone and with the two marks, 1 px each", () => {
    expect(distance(0).u).toBeCloseTo(0.00654513, 7);
    expect(distance(1).u).toBeCloseTo(0.022018216, 7);
    expect(Math.sqrt(distance(1).u ** 2 - distance(0).u ** 2)).toBeCloseTo(0.021022918, 7);
  });

  it("states the misfit of the points", () => {
    // SS 2.010 595 846 px² over 10 points
    const residuals = residualsOf(points, plane);
    expect(rmsPx(residuals)).toBeCloseTo(Math.sqrt(2.010595846 / 10), 7);
    // s0 from residuals, 12 degrees of freedom, px
    expect(Math.sqrt(plane.chiSquare / (2 * noisy.length - 8))).toBeCloseTo(0.409328, 6);
  });
});
